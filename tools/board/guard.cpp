#include "tools/board/guard.h"

#include <sys/random.h>

#include <array>
#include <cstddef>

#include "base/format.h"
#include "base/input_error.h"

namespace sixfold::tools {

std::string new_token() {
  constexpr std::string_view kLetters =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  static_assert(kLetters.size() == 64);
  std::array<unsigned char, 32> bytes{};  // Six bits of each count.
  if (getrandom(bytes.data(), bytes.size(), 0) != static_cast<ssize_t>(bytes.size())) {
    throw InputError("no random numbers from the system", "board", "some for its address");
  }
  std::string token;
  for (const unsigned char byte : bytes) token += kLetters[byte % kLetters.size()];
  return token;
}

bool are_equal_in_constant_time(std::string_view a, std::string_view b) noexcept {
  if (a.size() != b.size()) return false;
  unsigned difference = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    difference |=
        static_cast<unsigned char>(a[i]) ^ static_cast<unsigned>(static_cast<unsigned char>(b[i]));
  }
  return difference == 0;
}

bool is_own_host(std::string_view host, int port) {
  return host == format("127.0.0.1:{}", port) || host == format("localhost:{}", port);
}

bool is_own_origin(std::string_view origin, int port) {
  constexpr std::string_view kScheme = "http://";
  return origin.starts_with(kScheme) && is_own_host(origin.substr(kScheme.size()), port);
}

}  // namespace sixfold::tools
