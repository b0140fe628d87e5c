#include "tools/places.h"

#include <cstdio>
#include <cstdlib>

#include "base/clean_text.h"

namespace sixfold::tools {
namespace {

constexpr const char* kShippedNet = "standard.safetensors";

std::filesystem::path usual_cache() {
  const auto variable = [](const char* name) {
    const char* value = std::getenv(name);
    return std::filesystem::path(value == nullptr ? "" : value);
  };
  // As the XDG Base Directory Specification has it.
  if (const auto cache = variable("XDG_CACHE_HOME"); cache.is_absolute()) return cache / "sixfold";
  if (const auto home = variable("HOME"); !home.empty()) return home / ".cache" / "sixfold";
  return {};
}

}  // namespace

/// It lies where it was installed, in a build's folder or, with the sources, beside it.
std::filesystem::path shipped_net() {
  std::error_code error;
  const std::filesystem::path self = std::filesystem::read_symlink("/proc/self/exe", error);
  const std::filesystem::path room = self.parent_path();
  for (const auto& nets : {room / "nets", room.parent_path() / "nets"}) {
    if (std::filesystem::exists(nets / kShippedNet, error)) return nets / kShippedNet;
  }
  return room.parent_path() / "share" / "sixfold" / kShippedNet;
}

std::filesystem::path cache_directory(const std::string& directory) {
  return directory.empty() ? usual_cache() : std::filesystem::path(directory);
}

void note(const std::string& line) {
  std::fprintf(stderr, "sixfold: %s\n", clean_text(line).c_str());
}

}  // namespace sixfold::tools
