#include "base/atomic_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>

#include "base/input_error.h"

namespace sixfold {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(const fs::path& target, const std::string& reason,
                         const std::string& expected) {
  throw InputError("cannot be written: " + reason, target.string(), expected);
}

[[noreturn]] void refuse(const fs::path& target, int error) {
  refuse(target, std::generic_category().message(error),
         "a directory that takes new files, on a disk with room");
}

fs::path directory_of(const fs::path& target) {
  return target.has_parent_path() ? target.parent_path() : fs::path(".");
}

void check_target(const fs::path& target) {
  std::error_code ignored;
  const fs::file_status status = fs::status(target, ignored);
  if (fs::is_directory(status) || !target.has_filename()) {
    refuse(target, "it names a directory", "the name of a file");
  }
  if (fs::exists(status) && !fs::is_regular_file(status)) {
    refuse(target, "it is a device, a pipe or the like", "a regular file or a new name");
  }
  const fs::path directory = directory_of(target);
  const fs::file_status around = fs::status(directory, ignored);
  if (around.type() == fs::file_type::not_found) {
    refuse(target, "the directory " + directory.string() + " does not exist",
           "an existing directory");
  }
  if (fs::status_known(around) && !fs::is_directory(around)) {
    refuse(target, directory.string() + " is not a directory", "an existing directory");
  }
}

/// A new file beside the target; gone with this object unless it has taken the target's place.
class TemporaryFile {
 public:
  explicit TemporaryFile(const fs::path& target) : target_(target) {
    // The process id parts processes, the counter parts threads and what a killed process left.
    const std::string stem = target.string() + ".partial-" + std::to_string(::getpid());
    for (int i = 0; descriptor_ < 0; ++i) {
      path_ = stem + "-" + std::to_string(i);
      descriptor_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
      if (descriptor_ < 0 && errno != EEXIST && errno != EINTR) refuse(target_, errno);
    }
  }
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;
  ~TemporaryFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
    std::error_code ignored;
    if (!in_place_) fs::remove(path_, ignored);
  }

  void write(std::string_view bytes) {
    while (!bytes.empty()) {
      const ssize_t written = ::write(descriptor_, bytes.data(), bytes.size());
      if (written < 0 && errno != EINTR) refuse(target_, errno);
      if (written > 0) bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    while (::fsync(descriptor_) != 0) {
      if (errno != EINTR) refuse(target_, errno);
    }
    const int descriptor = descriptor_;
    descriptor_ = -1;
    if (::close(descriptor) != 0 && errno != EINTR) refuse(target_, errno);
  }

  void take_place() {
    std::error_code error;
    fs::rename(path_, target_, error);
    if (error) refuse(target_, error.value());
    in_place_ = true;
  }

 private:
  fs::path target_;
  fs::path path_;
  int descriptor_ = -1;
  bool in_place_ = false;
};

/// Makes the new name survive a power failure. Some file systems can't sync a directory; the file
/// is complete and in place by then, so that is no error.
void sync_directory(const fs::path& directory) {
  const int descriptor = ::open(directory.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  ::fsync(descriptor);
  ::close(descriptor);
}

}  // namespace

void write_file_atomically(const fs::path& target, std::string_view bytes) {
  check_target(target);
  TemporaryFile file(target);
  file.write(bytes);
  file.take_place();
  sync_directory(directory_of(target));
}

}  // namespace sixfold
