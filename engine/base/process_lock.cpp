#include "base/process_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <string>

#include "base/file_place.h"

namespace sixfold {

ProcessLock::ProcessLock(const std::filesystem::path& file, const InputError& busy) : file_(file) {
  for (;;) {
    descriptor_ = open(file_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (descriptor_ < 0) {
      throw InputError(std::string("can't be written: ") + std::strerror(errno), file_.string(),
                       "a folder that can be written to");
    }
    if (flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
      const int error = errno;
      close(descriptor_);
      if (error == EINTR) continue;
      if (error == EWOULDBLOCK) throw busy;
      throw InputError(std::string("can't be locked: ") + std::strerror(error), file_.string(),
                       "a folder on a disk that knows locks");
    }
    // Whoever held the lock before may have removed the file after it was opened here.
    if (is_file_at(descriptor_, file_)) return;
    close(descriptor_);
  }
}

ProcessLock::~ProcessLock() {
  unlink(file_.c_str());
  close(descriptor_);
}

}  // namespace sixfold
