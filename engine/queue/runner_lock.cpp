#include "queue/runner_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <string>

#include "base/input_error.h"

namespace sixfold {
namespace {

/// Whoever held the lock before may have removed the file after it was opened here.
bool is_still(int descriptor, const std::filesystem::path& file) {
  struct stat opened {};
  struct stat named {};
  return fstat(descriptor, &opened) == 0 && stat(file.c_str(), &named) == 0 &&
         opened.st_ino == named.st_ino && opened.st_dev == named.st_dev;
}

}  // namespace

// Under one name, whatever links lead to the queue.
RunnerLock::RunnerLock(const std::filesystem::path& queue)
    : file_(std::filesystem::canonical(queue).string() + "-runner") {
  for (;;) {
    descriptor_ = open(file_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (descriptor_ < 0) {
      throw InputError(std::string("can't be written: ") + std::strerror(errno), file_.string(),
                       "a folder that can be written to");
    }
    if (flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
      close(descriptor_);
      throw InputError("another process runs it", queue.string(), "that to end first");
    }
    if (is_still(descriptor_, file_)) return;
    close(descriptor_);
  }
}

RunnerLock::~RunnerLock() {
  unlink(file_.c_str());
  close(descriptor_);
}

}  // namespace sixfold
