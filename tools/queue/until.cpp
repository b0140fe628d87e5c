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

}  // namespace

std::chrono::seconds parse_duration(const std::string& text) {
  constexpr const char* kForms = "such as 6h, 45m, 90s or 1h30m";
  constexpr long kLongest = 1000L * 3600;
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
  std::tm moment{};
  localtime_r(&seconds, &moment);
  const char* const date_end = strptime(text.c_str(), "%Y-%m-%dT%H:%M", &moment);
  const bool has_date = date_end != nullptr && *date_end == '\0';
  if (!has_date) {
    localtime_r(&seconds, &moment);
    const char* const time_end = strptime(text.c_str(), "%H:%M", &moment);
    if (time_end == nullptr || *time_end != '\0') {
      throw InputError("'" + text + "' is no time", "--until", "07:00, or 2030-01-31T07:00");
    }
  }
  moment.tm_sec = 0;
  moment.tm_isdst = -1;
  std::tm that = moment;
  Wall::time_point until = Wall::from_time_t(std::mktime(&that));
  if (until <= now && has_date) {
    throw InputError("'" + text + "' is past", "--until", "a time to come");
  }
  if (until <= now) {
    ++moment.tm_mday;
    until = Wall::from_time_t(std::mktime(&moment));
  }
  return until;
}

Alarm::Alarm(std::optional<Wall::time_point> until, std::optional<std::chrono::seconds> duration)
    : watch_([this, until, duration, start = Steady::now()](const std::stop_token& done) {
        while (!done.stop_requested() && !rings_) {
          rings_ = interrupted() || (until && Wall::now() >= *until) ||
                   (duration && Steady::now() - start >= *duration);
          std::this_thread::sleep_for(kGlance);
        }
      }) {}

}  // namespace sixfold::tools
