/// When a night ends.
#pragma once

#include <atomic>
#include <chrono>
#include <optional>
#include <string>
#include <thread>

namespace sixfold::tools {

/// "6h", "45m", "90s", "1h30m". Throws InputError for anything else, and for no time at all.
[[nodiscard]] std::chrono::seconds parse_duration(const std::string& text);

/// The next time that local clocks show "07:00", or the moment "2030-01-31T07:00". Throws
/// InputError for other texts, and for a moment that is past.
[[nodiscard]] std::chrono::system_clock::time_point parse_moment(
    const std::string& text, std::chrono::system_clock::time_point now);

/// Sets a flag when time is up or somebody interrupts. A moment is one of the clock on the wall: a
/// clock that is put right meanwhile is believed. A duration is one of work, whatever clocks say.
class Alarm {
 public:
  Alarm(std::optional<std::chrono::system_clock::time_point> until,
        std::optional<std::chrono::seconds> duration);

  [[nodiscard]] const std::atomic<bool>& rings() const noexcept { return rings_; }

 private:
  std::atomic<bool> rings_{false};
  std::jthread watch_;
};

}  // namespace sixfold::tools
