/// Parses JSON with an eye on names that stand twice in an object: the parser alone would keep one
/// of them silently. It stays inside, since it needs the JSON library.
#pragma once

#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace sixfold {

/// Calls `on_twice` with such a name, which throws. Throws as the parser does.
template <typename OnTwice>
[[nodiscard]] nlohmann::json parse_unique(std::string_view text, OnTwice on_twice) {
  using nlohmann::json;
  std::vector<std::set<std::string>> names;
  const auto watch = [&](int, json::parse_event_t event, json& value) {
    if (event == json::parse_event_t::object_start) names.emplace_back();
    if (event == json::parse_event_t::object_end) names.pop_back();
    if (event == json::parse_event_t::key) {
      const auto& name = value.get_ref<const std::string&>();
      if (!names.back().insert(name).second) on_twice(name);
    }
    return true;
  };
  return json::parse(text, watch);
}

}  // namespace sixfold
