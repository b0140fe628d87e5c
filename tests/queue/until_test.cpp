// When a night ends: durations, moments of the local clock, and clocks that jump.
#include "tools/queue/until.h"

#include <cstdlib>
#include <ctime>

#include "rules/error_checks.h"

namespace sixfold::tools {
namespace {

using namespace std::chrono_literals;
using Wall = std::chrono::system_clock;

/// The clock of a place, while it lives.
class Place {
 public:
  explicit Place(const char* zone) {
    setenv("TZ", zone, 1);
    tzset();
  }
  ~Place() {
    unsetenv("TZ");
    tzset();
  }
  Place(const Place&) = delete;
  Place& operator=(const Place&) = delete;
};

/// A moment of universal time.
Wall::time_point at(const char* text) {
  std::tm moment{};
  REQUIRE(strptime(text, "%Y-%m-%d %H:%M:%S", &moment) != nullptr);
  return Wall::from_time_t(timegm(&moment));
}

}  // namespace

TEST_CASE("Durations are hours, minutes and seconds, together or alone") {
  CHECK(parse_duration("6h") == 6h);
  CHECK(parse_duration("45m") == 45min);
  CHECK(parse_duration("90s") == 90s);
  CHECK(parse_duration("1h30m") == 90min);
  CHECK(parse_duration("1000h") == 1000h);
}

TEST_CASE("Other durations are refused, and so is no time at all") {
  for (const char* const text : {"", "6", "h", "6x", "1h30", "-6h", "+6h", "6 h", "0h", "1001h",
                                 "1e3s", "6.5h", "999h3600m", "99999999999999999999h", "six"}) {
    INFO(text);
    check_error(error_of([&] { static_cast<void>(parse_duration(text)); }), "is no duration",
                "--for", "");
  }
}

TEST_CASE("A time is the next one that local clocks show") {
  const Place place("UTC");
  const auto now = at("2030-01-31 22:15:30");
  CHECK(parse_moment("23:00", now) == at("2030-01-31 23:00:00"));
  CHECK(parse_moment("07:00", now) == at("2030-02-01 07:00:00"));
  CHECK(parse_moment("22:16", now) == at("2030-01-31 22:16:00"));
  // The present minute has begun.
  CHECK(parse_moment("22:15", now) == at("2030-02-01 22:15:00"));
  CHECK(parse_moment("00:00", now) == at("2030-02-01 00:00:00"));
  CHECK(parse_moment("00:00", at("2030-12-31 23:59:59")) == at("2031-01-01 00:00:00"));
  CHECK(parse_moment("00:00", at("2031-01-01 00:00:00")) == at("2031-01-02 00:00:00"));
}

TEST_CASE("A time is the clock's, also in the night in which it is put back or forward") {
  const Place place("CET-1CEST,M3.5.0,M10.5.0/3");
  // An hour longer, an hour shorter.
  CHECK(parse_moment("07:00", at("2030-10-26 21:00:00")) == at("2030-10-27 06:00:00"));
  CHECK(parse_moment("07:00", at("2030-03-30 22:00:00")) == at("2030-03-31 05:00:00"));
}

TEST_CASE("A moment may have a date") {
  const Place place("UTC");
  const auto now = at("2030-01-31 22:15:30");
  CHECK(parse_moment("2030-02-02T07:00", now) == at("2030-02-02 07:00:00"));
  CHECK(parse_moment("2032-02-29T07:00", now) == at("2032-02-29 07:00:00"));
}

TEST_CASE("Moments that are past, too far off, or of no calendar are refused") {
  const Place place("UTC");
  const auto now = at("2030-01-31 22:15:30");
  const auto refused = [&](const char* text, const char* complaint) {
    INFO(text);
    check_error(error_of([&] { static_cast<void>(parse_moment(text, now)); }), complaint,
                "--until", "");
  };
  refused("2030-01-31T22:15", "is past");
  refused("1969-01-01T07:00", "is past");
  refused("2031-02-29T07:00", "a day that there is not");
  refused("2030-04-31T07:00", "a day that there is not");
  refused("9999-01-01T07:00", "too far off");
  for (const char* const text : {"", "7", "24:00", "07:60", "07:00:00", "07:00 ", "7 o'clock",
                                 "2030-13-01T07:00", "2030-02-02", "2030-02-02 07:00", "-1:00"}) {
    refused(text, "is no time");
  }
}

TEST_CASE("A clock that is put right is believed where a moment was asked for") {
  const auto until = at("2030-02-01 07:00:00");
  const NightEnd end{until, {}};
  CHECK_FALSE(end.is_reached(until - 1s, 100h));
  CHECK(end.is_reached(until, 0s));
  // Put forward over the moment; back behind where it was.
  CHECK(end.is_reached(until + 1h, 1s));
  CHECK_FALSE(end.is_reached(until - 24h, 8h));
}

TEST_CASE("A duration is one of work, whatever the clock on the wall says") {
  const NightEnd end{{}, 6h};
  CHECK_FALSE(end.is_reached(at("2050-01-01 00:00:00"), 6h - 1s));
  CHECK(end.is_reached(at("1980-01-01 00:00:00"), 6h));
  CHECK_FALSE(NightEnd{}.is_reached(Wall::time_point::max(), 10000h));
}

TEST_CASE("An alarm rings when its time is up, and not before") {
  const Alarm never(NightEnd{});
  const Alarm soon(NightEnd{{}, 1s});
  CHECK_FALSE(soon.rings());
  for (int i = 0; i < 100 && !soon.rings(); ++i) std::this_thread::sleep_for(100ms);
  CHECK(soon.rings());
  CHECK_FALSE(never.rings());
}

}  // namespace sixfold::tools
