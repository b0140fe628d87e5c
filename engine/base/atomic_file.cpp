#include "base/atomic_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>

#include "base/file_place.h"
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
  std::error_code error;
  const fs::file_status status = fs::status(target, error);
  if (error == std::errc::filename_too_long) refuse(target, error.message(), "a shorter name");
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

/// Removes what a killed process left under a temporary name. False where a writer is at work.
bool is_free(const fs::path& name) {
  const int descriptor = ::open(name.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
  if (descriptor < 0) return errno == ENOENT;
  // Where the file system knows no locks nobody can tell, and nothing is removed.
  const bool is_left = ::flock(descriptor, LOCK_EX | LOCK_NB) == 0 && is_file_at(descriptor, name);
  if (is_left) ::unlink(name.c_str());
  ::close(descriptor);
  return is_left;
}

/// A new file beside the target; gone with this object unless it has taken the target's place.
///
/// Its writer holds a lock on it, which ends with the process: what is found unlocked under such a
/// name was left by one that was killed, and the next writer of the target removes it.
class TemporaryFile {
 public:
  explicit TemporaryFile(const fs::path& target) : target_(target) {
    int number = 0;
    while (!create(name(number))) {
      if (!is_free(name(number))) ++number;
    }
    while (fs::exists(fs::symlink_status(name(number + 1))) && is_free(name(number + 1))) ++number;
    take_mode();
  }
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;
  ~TemporaryFile() {
    std::error_code ignored;
    if (!in_place_) fs::remove(path_, ignored);
    if (descriptor_ >= 0) ::close(descriptor_);
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
  }

  void take_place() {
    std::error_code error;
    fs::rename(path_, target_, error);
    if (error) refuse(target_, error.value());
    in_place_ = true;
  }

 private:
  /// A name that is too long with its ending is cut: names part writers, they tell nobody anything.
  [[nodiscard]] fs::path name(int number) const {
    constexpr std::size_t kLongest = 255;
    const std::string ending = ".sixfold-partial-" + std::to_string(number);
    const std::string stem = target_.filename().string();
    return target_.parent_path() / (stem.substr(0, kLongest - ending.size()) + ending);
  }
  /// False where the name is taken, or was taken for a leftover before it was locked.
  bool create(const fs::path& name) {
    descriptor_ = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (descriptor_ < 0 && errno != EEXIST && errno != EINTR) refuse(target_, errno);
    if (descriptor_ < 0) return false;
    const bool is_taken = ::flock(descriptor_, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK;
    if (!is_taken && is_file_at(descriptor_, name)) {
      path_ = name;
      return true;
    }
    ::close(descriptor_);
    descriptor_ = -1;
    return false;
  }
  /// Who might read the old file may read the new one, and nobody else.
  void take_mode() const {
    struct stat old {};
    if (::stat(target_.c_str(), &old) == 0 && S_ISREG(old.st_mode)) {
      ::fchmod(descriptor_, old.st_mode & 0777);
    }
  }

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

void require_writable(const fs::path& target) {
  check_target(target);
  static_cast<void>(TemporaryFile(target));
}

void write_file_atomically(const fs::path& target, std::string_view bytes) {
  check_target(target);
  TemporaryFile file(target);
  file.write(bytes);
  file.take_place();
  sync_directory(directory_of(target));
}

}  // namespace sixfold
