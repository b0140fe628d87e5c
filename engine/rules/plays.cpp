#include "rules/plays.h"

#include <bit>
#include <cassert>
#include <utility>

#include "rules/steps.h"

namespace sixfold {
namespace {

class Generator {
 public:
  Generator(const Position& position, PlayList& plays) noexcept
      : side_(position.roller),
        start_(side_.bits()),
        occupied_(Steps::occupied(side_)),
        steps_(position.opponent),
        plays_(plays) {}

  void doubles(int die) noexcept {
    equal_steps<0>(start_, occupied_, die, ~LocationSet{0});
    if (plays_.size() == 0) plays_.push(PlayKey(start_));
  }

  void mixed(int high, int low) noexcept {
    if (side_[kBar] > 0) {
      entering(high, low);
    } else if (side_.sum(kHomePoints + 1) <= 1) {
      two_steps(high, low);
      two_steps(low, high);
    } else {
      separate_steps(high, low);
      one_checker_both_dice(high, low);
    }
    if (plays_.size() == 0) single_steps(high);
    if (plays_.size() == 0) single_steps(low);
    if (plays_.size() == 0) plays_.push(PlayKey(start_));
  }

 private:
  /// Equal steps commute, so taking sources in descending order reaches each result once. Keeps the
  /// results with the most steps. `occupied` is that of the key, after `depth` steps.
  template <int depth>
  void equal_steps(Packed128 key, LocationSet occupied, int die, LocationSet up_to) noexcept {
    const LocationSet sources = steps_.sources(occupied, die) & up_to;
    if (sources == 0) {
      if (depth > 0 && depth >= most_steps_) keep(key, depth);
      return;
    }
    if constexpr (depth == 3) {
      if (most_steps_ < 4) plays_.clear();
      most_steps_ = 4;
    }
    for_each_descending(sources, [&](int from) {
      const Packed128 next = steps_.after(key, from, die);
      if constexpr (depth == 3) {
        plays_.push(PlayKey(next));
      } else {
        LocationSet left = occupied | (location_bit(from) >> die & ~LocationSet{1});
        if (Side(next)[from] == 0) left ^= location_bit(from);
        equal_steps<depth + 1>(next, left, die, (location_bit(from) << 1) - 1);
      }
    });
  }

  /// REQUIRES: no result with more steps has been kept.
  void keep(Packed128 key, int steps) noexcept {
    assert(steps >= most_steps_);
    if (steps > most_steps_) plays_.clear();
    most_steps_ = steps;
    plays_.push(PlayKey(key));
  }

  /// Both dice in the given order from any source; general, with a search for duplicates.
  void two_steps(int first, int second) noexcept {
    steps_.for_each(start_, first, kBar, [&](int, int, Packed128 halfway) {
      steps_.for_each(halfway, second, kBar, [&](int, int, Packed128 key) {
        if (!plays_.contains(PlayKey(key))) plays_.push(PlayKey(key));
      });
    });
  }

  /// From the bar. Two checkers that enter do so with both dice, in either order; of a single one,
  /// the two orders have only the result in common in which it goes on with the other die.
  void entering(int high, int low) noexcept {
    Packed128 went_on = 0;
    for (const auto& [first, second] : {std::pair(high, low), std::pair(low, high)}) {
      if (!steps_.is_open(kBar - first)) continue;
      const Packed128 halfway = steps_.after(start_, kBar, first);
      steps_.for_each(halfway, second, kBar, [&](int from, int, Packed128 key) {
        if (from == kBar - first) {
          if (key == went_on) return;
          went_on = key;
        }
        plays_.push(PlayKey(key));
      });
      if (side_[kBar] > 1) return;
    }
  }

  void single_steps(int die) noexcept {
    steps_.for_each(start_, die, kBar, [&](int, int, Packed128 key) { plays_.push(PlayKey(key)); });
  }

  /// Two steps from sources that were occupied before the play. Without bar and bear-off their
  /// order does not matter; where one step ends on the other's source, the result is that of one
  /// checker taking both dice and is left to one_checker_both_dice.
  void separate_steps(int high, int low) noexcept {
    const LocationSet seconds = steps_.sources(occupied_, low);
    for_each_descending(steps_.sources(occupied_, high), [&](int first) {
      const int first_to = first - high;
      LocationSet allowed = seconds & ~(location_bit(first_to) | location_bit(first) << low);
      if (side_[first] < 2) allowed &= ~location_bit(first);
      const Packed128 halfway = start_ + Steps::change(first, high);
      for_each_descending(allowed, [&](int second) {
        const Packed128 sides = halfway + Steps::change(second, low);
        const LocationSet arrivals = location_bit(first_to) | location_bit(second) >> low;
        plays_.push(PlayKey(sides | steps_.hits_on(arrivals)));
      });
    });
  }

  /// One checker takes both dice. Every way past an intermediate point without a hit has the same
  /// result; a hit on the way makes a result of its own.
  void one_checker_both_dice(int high, int low) noexcept {
    const LocationSet beyond = occupied_ & ~LocationSet{1} << (high + low);
    for_each_descending(beyond, [&](int from) {
      const int to = from - high - low;
      if (!steps_.is_open(to)) return;
      const Packed128 key = (start_ + Steps::change(from, high) + Steps::change(from - high, low)) |
                            steps_.hits_on(location_bit(to));
      bool quiet_way = false;
      for (const int way : {from - high, from - low}) {
        if (!steps_.is_open(way)) continue;
        const Packed128 hit = steps_.hits_on(location_bit(way));
        if (hit == 0) {
          quiet_way = true;
        } else {
          plays_.push(PlayKey(key | hit));
        }
      }
      if (quiet_way) plays_.push(PlayKey(key));
    });
  }

  Side side_;
  Packed128 start_;
  LocationSet occupied_;
  Steps steps_;
  PlayList& plays_;
  int most_steps_ = 0;
};

}  // namespace

void generate_plays(const Position& position, Roll roll, PlayList& plays) noexcept {
  assert(!game_over(position));
  plays.clear();
  Generator generator(position, plays);
  if (roll.is_doubles()) {
    generator.doubles(roll.high);
  } else {
    generator.mixed(roll.high, roll.low);
  }
}

Position position_after(const Position& position, PlayKey play) noexcept {
  Side other = position.opponent;
  for (std::uint32_t hits = play.hits(); hits != 0; hits &= hits - 1) {
    other.move(mirrored(std::countr_zero(hits) + 1), kBar);
  }
  return {other, play.mover()};
}

}  // namespace sixfold
