#include "queue/next_up.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <tuple>

#include "rollout/state.h"

namespace sixfold {
namespace {

/// Moments to look at again: so many times the trials that there are.
constexpr std::array kGrowths{1.25, 1.5, 2.0, 3.0, 4.0, 6.0, 9.0, 16.0};

double normal_below(double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); }

/// A verdict is looked at after each of its rounds, and left alone when it seems clear. So that it
/// seldom is by chance, zero has to be this many half-widths away; bench/night.cpp measures it.
constexpr double kClear = 1.5;

bool is_clear(const Closest& closest) {
  return !closest.is_open && closest.cost.mean >= kClear * closest.cost.half_width;
}

/// That a verdict is clear when there are `growth` times the trials.
double settling_chance(const Estimate& cost, double growth) {
  const double half_width = kClear * cost.half_width / std::sqrt(growth);
  const double spread = cost.standard_error * std::sqrt(1.0 - 1.0 / growth);
  return normal_below((cost.mean - half_width) / spread) +
         normal_below((-cost.mean - half_width) / spread);
}

/// Seconds until there are `growth` times the trials, of those plays that go on.
double seconds_of(const Standing& standing, double growth) {
  const double of_trial =
      standing.seconds / static_cast<double>(std::max<std::uint64_t>(1, standing.trials));
  const auto more = (growth - 1.0) * static_cast<double>(standing.going_on * standing.trials_each);
  return std::max(more * of_trial, 1e-6);
}

/// In the order in which they are gone through.
enum class Stage : std::uint8_t { kFloor, kOpen, kSettled, kBeyond, kDone };

/// What lessons with planes ask for besides: planes come after the verdicts, and these stay then as
/// they are.
class Planes {
 public:
  explicit Planes(std::span<const PartAt> parts) {
    for (const PartAt& part : parts) {
      const bool is_plane = part.kind == Part::Kind::kPlanes;
      if (is_plane) with_planes_.insert(part.entry);
      if (!is_plane && !part.standing.is_done) unfinished_.insert(part.entry);
    }
  }
  [[nodiscard]] bool hold_up(const PartAt& part) const {
    return part.kind == Part::Kind::kPlanes && unfinished_.contains(part.entry);
  }
  [[nodiscard]] bool forbid_more(const PartAt& part) const {
    return with_planes_.contains(part.entry);
  }

 private:
  std::set<std::int64_t> with_planes_;
  std::set<std::int64_t> unfinished_;
};

Stage stage_of(const PartAt& part, bool beyond, const Planes& planes) {
  const Standing& at = part.standing;
  if (!at.is_done) {
    if (at.rounds == 0) return Stage::kFloor;
    return at.closest && !is_clear(*at.closest) ? Stage::kOpen : Stage::kSettled;
  }
  const bool is_open = at.closest && at.closest->is_open;
  const bool may_go_on =
      beyond && is_open && at.wanted > 0.0 && at.beyond < kMostBeyond && !planes.forbid_more(part);
  return may_go_on ? Stage::kBeyond : Stage::kDone;
}

}  // namespace

double settling_rate(const Standing& standing, double end) {
  if (!standing.closest || is_clear(*standing.closest)) return 0.0;
  const Estimate& cost = standing.closest->cost;
  if (cost.standard_error <= 0.0) return 0.0;
  const double most = end > 0.0 ? std::pow(cost.half_width / end, 2.0) : kGrowths.back();
  double best = 0.0;
  for (const double growth : kGrowths) {
    best = std::max(best, settling_chance(cost, growth) / seconds_of(standing, growth));
    if (growth >= most) break;
  }
  return best;
}

std::optional<double> seconds_left(std::span<const PartAt> parts) {
  double known = 0.0;
  double all = 0.0;
  double left = 0.0;
  double unknown = 0.0;
  for (const PartAt& part : parts) {
    const Standing& at = part.standing;
    if (at.trials == 0) {
      unknown += at.is_done ? 0.0 : 1.0;
      continue;
    }
    const double expected = static_cast<double>(std::max(at.trials_expected, at.trials));
    const double total = at.seconds * expected / static_cast<double>(at.trials);
    known += 1.0;
    all += total;
    if (!at.is_done) left += total - at.seconds;
  }
  if (known == 0.0) return std::nullopt;
  return left + unknown * all / known;
}

std::vector<std::size_t> all_up(std::span<const PartAt> parts, bool beyond) {
  const Planes planes(parts);
  std::vector<std::tuple<int, Stage, double, std::size_t>> up;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const PartAt& part = parts[i];
    const Stage stage = stage_of(part, beyond, planes);
    if (stage == Stage::kDone || planes.hold_up(part)) continue;
    const double end = stage == Stage::kBeyond ? 0.0 : part.standing.wanted;
    const double rate =
        stage == Stage::kOpen || stage == Stage::kBeyond ? settling_rate(part.standing, end) : 0.0;
    up.emplace_back(-part.priority, stage, -rate, i);
  }
  std::sort(up.begin(), up.end());
  std::vector<std::size_t> places;
  for (const auto& each : up) places.push_back(std::get<std::size_t>(each));
  return places;
}

std::optional<std::size_t> next_up(std::span<const PartAt> parts, bool beyond) {
  const std::vector<std::size_t> up = all_up(parts, beyond);
  return up.empty() ? std::nullopt : std::optional(up.front());
}

}  // namespace sixfold
