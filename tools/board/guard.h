/// Who may talk to the board: whoever holds its token, from this machine, by its own address.
///
/// A page from elsewhere can make a browser send requests here, and a name from elsewhere can be
/// made to lead here; so the names that a request was sent to and comes from are looked at beside
/// the token. Pure functions but for new_token(); safe to use from any thread.
#pragma once

#include <string>
#include <string_view>

namespace sixfold::tools {

/// 192 random bits from the system, in letters that a path may hold.
[[nodiscard]] std::string new_token();

/// Whether two texts are equal, in a time that does not tell where they differ.
[[nodiscard]] bool are_equal_in_constant_time(std::string_view a, std::string_view b) noexcept;

/// Whether a Host header names this server at a port.
[[nodiscard]] bool is_own_host(std::string_view host, int port);
/// Whether an Origin header names a page of this server.
[[nodiscard]] bool is_own_origin(std::string_view origin, int port);

}  // namespace sixfold::tools
