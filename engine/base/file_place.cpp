#include "base/file_place.h"

#include <sys/stat.h>

#include <system_error>

namespace sixfold {
namespace {

bool are_one(const struct stat& a, const struct stat& b) {
  return a.st_ino == b.st_ino && a.st_dev == b.st_dev;
}

/// Without links on the way, as far as the way is there; `name` where it leads nowhere.
std::filesystem::path place_of(const std::filesystem::path& name) {
  std::error_code error;
  const std::filesystem::path place =
      std::filesystem::weakly_canonical(std::filesystem::absolute(name), error);
  return error ? name : place;
}

}  // namespace

bool is_same_file(const std::filesystem::path& a, const std::filesystem::path& b) {
  if (a.empty() || b.empty()) return false;
  struct stat of_a {};
  struct stat of_b {};
  if (stat(a.c_str(), &of_a) == 0 && stat(b.c_str(), &of_b) == 0) return are_one(of_a, of_b);
  return place_of(a) == place_of(b);
}

bool is_file_at(int descriptor, const std::filesystem::path& name) {
  struct stat opened {};
  struct stat named {};
  return fstat(descriptor, &opened) == 0 && stat(name.c_str(), &named) == 0 &&
         are_one(opened, named);
}

}  // namespace sixfold
