#include "tools/queue/until.h"

#include <charconv>
#include <ctime>

#include "base/input_error.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

using Wall = std::chrono::system_clock;
using Steady = std::chrono::steady_clock;

constexpr auto kGlance = std::chrono::milliseconds(100);
// In seconds.
constexpr long kLongest = 1000L * 3600;
constexpr long kFurthest = 10L * 366 * 24 * 3600;

/// Of the local clock's whole minute.
std::time_t moment_of(std::tm local) {
  local.tm_sec = 0;
  local.tm_isdst = -1;
  return std::mktime(&local);
}

}  // namespace

std::chrono::seconds parse_duration(const std::string& text) {
  constexpr const char* kForms = "such as 6h, 45m, 90s or 1h30m";
  long total = 0;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (at != end) {
    long value = 0;
    const auto [next, error] = std::from_chars(at, end, value);
    const long unit = next == end    ? 0
                      : *next == 'h' ? 3600
                      : *next == 'm' ? 60
                      : *next == 's' ? 1
                                     : 0;
    if (error != std::errc() || value < 0 || value > kLongest || unit == 0) {
      throw InputError("'" + text + "' is no duration", "--for", kForms);
    }
    total += value * unit;
    at = next + 1;
  }
  if (total <= 0 || total > kLongest) {
    throw InputError("'" + text + "' is no duration", "--for", "from 1s to 1000h");
  }
  return std::chrono::seconds(total);
}

Wall::time_point parse_moment(const std::string& text, Wall::time_point now) {
  const std::time_t seconds = Wall::to_time_t(now);
  std::tm asked{};
  localtime_r(&seconds, &asked);
  const std::tm today = asked;
  const char* const date_end = strptime(text.c_str(), "%Y-%m-%dT%H:%M", &asked);
  const bool has_date = date_end != nullptr && *date_end == '\0';
  if (!has_date) {
    asked = today;
    const char* const time_end = strptime(text.c_str(), "%H:%M", &asked);
    if (time_end == nullptr || *time_end != '\0') {
      throw InputError("'" + text + "' is no time", "--until", "07:00, or 2030-01-31T07:00");
    }
  }
  std::time_t until = moment_of(asked);
  if (!has_date && until <= seconds) {
    ++asked.tm_mday;
    until = moment_of(asked);
  }
  std::tm found{};
  localtime_r(&until, &found);
  if (has_date && (found.tm_mday != asked.tm_mday || found.tm_mon != asked.tm_mon)) {
    throw InputError("'" + text + "' is a day that there is not", "--until", "one of the calendar");
  }
  if (until <= seconds) throw InputError("'" + text + "' is past", "--until", "a time to come");
  if (until - seconds > kFurthest) {
    throw InputError("'" + text + "' is too far off", "--until", "a time within ten years");
  }
  return Wall::from_time_t(until);
}

Alarm::Alarm(const NightEnd& end)
    : watch_([this, end, start = Steady::now()](const std::stop_token& done) {
        while (!done.stop_requested() && !rings_) {
          rings_ = interrupted() || end.is_reached(Wall::now(), Steady::now() - start);
          std::this_thread::sleep_for(kGlance);
        }
      }) {}

}  // namespace sixfold::tools
