/// When a night ends.
#pragma once

#include <atomic>
#include <chrono>
#include <optional>
#include <string>
#include <thread>

namespace sixfold::tools {

/// A moment is one of the clock on the wall: a clock that is put right meanwhile is believed. A
/// duration is one of work, whatever clocks say.
struct NightEnd {
  std::optional<std::chrono::system_clock::time_point> until{};
  std::optional<std::chrono::seconds> duration{};

  [[nodiscard]] bool is_reached(std::chrono::system_clock::time_point now,
                                std::chrono::steady_clock::duration worked) const noexcept {
    return (until && now >= *until) || (duration && worked >= *duration);
  }
};

/// "6h", "45m", "90s", "1h30m". Throws InputError for anything else, and for no time at all.
[[nodiscard]] std::chrono::seconds parse_duration(const std::string& text);

/// The next time that local clocks show "07:00", or the moment "2030-01-31T07:00". Throws
/// InputError for other texts, days that no calendar has, and moments that are past or more than
/// ten years away.
[[nodiscard]] std::chrono::system_clock::time_point parse_moment(
    const std::string& text, std::chrono::system_clock::time_point now);

/// Sets a flag when time is up or somebody interrupts.
class Alarm {
 public:
  explicit Alarm(const NightEnd& end);

  [[nodiscard]] const std::atomic<bool>& rings() const noexcept { return rings_; }

 private:
  std::atomic<bool> rings_{false};
  std::jthread watch_;
};

}  // namespace sixfold::tools
