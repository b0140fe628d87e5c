/// What tests of pages check alike: numbers against the JSON, links against what they lead to.
#pragma once

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <sstream>
#include <string>

namespace sixfold {

inline int count_of(const std::string& part, const std::string& text) {
  int found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++found;
  }
  return found;
}

/// Checks that every number of a page is the one at its place in the JSON, or the sum of those at
/// its places, those with a "-" taken away; returns how many there are.
inline int checked_numbers(const std::string& page, const nlohmann::json& json) {
  const std::regex datum("<data value=\"([^\"]*)\" data-json=\"([^\"]*)\"");
  int count = 0;
  for (std::sregex_iterator it(page.begin(), page.end(), datum), end; it != end; ++it) {
    std::istringstream pointers((*it)[2]);
    double sum = 0.0;
    for (std::string pointer; pointers >> pointer;) {
      INFO(pointer);
      const bool is_less = pointer.starts_with('-');
      const nlohmann::json::json_pointer place(pointer.substr(is_less ? 1 : 0));
      REQUIRE(json.contains(place));
      sum += (is_less ? -1.0 : 1.0) * json[place].get<double>();
    }
    CHECK(sum == Approx(std::stod((*it)[1])).margin(1e-15));
    ++count;
  }
  return count;
}

/// Checks that links of a page lead to places that it has once each; returns how many there are.
inline int checked_links(const std::string& page) {
  std::set<std::string> ids;
  const std::regex id(" id=\"([^\"]*)\"");
  for (std::sregex_iterator it(page.begin(), page.end(), id), end; it != end; ++it) {
    INFO("id " << (*it)[1]);
    CHECK(ids.insert((*it)[1]).second);
  }
  const std::regex link(" href=\"([^\"]*)\"");
  int count = 0;
  for (std::sregex_iterator it(page.begin(), page.end(), link), end; it != end; ++it) {
    const std::string to = (*it)[1];
    INFO("link to " << to);
    REQUIRE(to.starts_with('#'));
    CHECK(ids.contains(to.substr(1)));
    ++count;
  }
  return count;
}

}  // namespace sixfold
