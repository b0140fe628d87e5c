/// What is found at which address below the token; README.md tells all of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tools/board/board.h"
#include "tools/board/engines.h"
#include "tools/board/queue_desk.h"
#include "tools/board/web_server.h"
#include "tools/board/work_shop.h"

namespace sixfold::tools {

/// Safe to use from any thread.
class Routes {
 public:
  /// The engines must outlive it. Throws InputError for a queue or a match that can't be read.
  Routes(Engines& engines, const BoardOptions& options);

  /// Complaints are answers too.
  [[nodiscard]] WebAnswer answer(const WebRequest& request);
  /// Stops all work.
  void close() { shop_.close(); }

 private:
  [[nodiscard]] WebAnswer get(const std::string& path);
  [[nodiscard]] WebAnswer post(const std::string& path, const std::string& body, std::string& id);
  [[nodiscard]] WebAnswer get_work(const std::vector<std::string>& steps);
  [[nodiscard]] WebAnswer post_work(const std::vector<std::string>& steps, const std::string& body,
                                    std::string& id);
  [[nodiscard]] WebAnswer get_queue(const std::vector<std::string>& steps);
  [[nodiscard]] WebAnswer at_once(const std::string& path, const std::string& body,
                                  std::string& id);

  Engines& engines_;
  WorkShop shop_;
  std::optional<QueueDesk> queue_;
  std::string match_;  ///< The judged match; empty: none.
};

}  // namespace sixfold::tools
