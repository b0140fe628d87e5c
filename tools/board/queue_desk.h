/// The queue that was named when the board was opened: what is put into it, and what it has found.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "session/core.h"

namespace sixfold::tools {

/// The queue is opened anew for each question, since others may run it meanwhile, and made by the
/// first entry. All throw InputError. Safe to use from any thread.
class QueueDesk {
 public:
  /// Throws InputError for a file that is no queue, and for a place where none can be made.
  explicit QueueDesk(std::filesystem::path file);

  /// As `queue list --json`, as one object.
  [[nodiscard]] std::string list() const;
  /// Puts a lesson or a request in; tells their numbers.
  [[nodiscard]] std::string add(const std::string& body, const Core& core) const;
  /// The page of `queue report`; "" where nothing is known of the entry yet.
  [[nodiscard]] std::string sheet(std::int64_t entry, Core& core) const;

 private:
  [[nodiscard]] bool is_there() const;

  std::filesystem::path file_;
};

}  // namespace sixfold::tools
