/// What is found at which address below the token; README.md tells all of it.
#pragma once

#include <string>

#include "tools/board/board.h"
#include "tools/board/engines.h"
#include "tools/board/web_server.h"

namespace sixfold::tools {

/// Safe to use from any thread.
class Routes {
 public:
  /// The engines must outlive it.
  Routes(Engines& engines, const BoardOptions& options);

  /// Complaints are answers too.
  [[nodiscard]] WebAnswer answer(const WebRequest& request);

 private:
  [[nodiscard]] WebAnswer get(const std::string& path);
  [[nodiscard]] WebAnswer post(const std::string& path, const std::string& body, std::string& id);

  Engines& engines_;
  BoardOptions options_;
};

}  // namespace sixfold::tools
