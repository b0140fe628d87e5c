#include "rules/plays.h"

#include <algorithm>
#include <bit>

#include "rules/steps.h"

namespace sixfold {
namespace {

class Generator {
 public:
  Generator(const Position& position, PlayList& plays) noexcept
      : start_(position.roller.bits()), steps_(position.opponent), plays_(plays) {}

  void doubles(int die) noexcept {
    four_steps(start_, die, kBar, 0);
    if (plays_.size() == 0) plays_.push(PlayKey(start_));
  }

  void mixed(int high, int low) noexcept {
    const Side side(start_);
    const bool entering = side[kBar] > 0;
    const bool may_bear_off = side.sum(kHomePoints + 1) <= 1;
    if (entering || may_bear_off) {
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
  /// results with the most steps; returns the deepest reached.
  int four_steps(Packed128 key, int die, int highest, int depth) noexcept {
    int deepest = depth;
    if (depth < 4) {
      steps_.for_each(key, die, highest, [&](int from, int, Packed128 next) {
        deepest = std::max(deepest, four_steps(next, die, from, depth + 1));
      });
    }
    if (deepest == depth && depth > 0 && depth >= most_steps_) {
      if (depth > most_steps_) plays_.clear();
      most_steps_ = depth;
      plays_.push(PlayKey(key));
    }
    return deepest;
  }

  /// Both dice in the given order from any source; general, with a search for duplicates.
  void two_steps(int first, int second) noexcept {
    steps_.for_each(start_, first, kBar, [&](int, int, Packed128 halfway) {
      steps_.for_each(halfway, second, kBar, [&](int, int, Packed128 key) {
        if (!plays_.contains(PlayKey(key))) plays_.push(PlayKey(key));
      });
    });
  }

  void single_steps(int die) noexcept {
    steps_.for_each(start_, die, kBar, [&](int, int, Packed128 key) { plays_.push(PlayKey(key)); });
  }

  /// Two steps from sources that were occupied before the play. Without bar and bear-off their
  /// order does not matter; where one step ends on the other's source, the result is that of one
  /// checker taking both dice and is left to one_checker_both_dice.
  void separate_steps(int high, int low) noexcept {
    const Side side(start_);
    steps_.for_each(start_, high, kBar, [&](int first, int first_to, Packed128 one) {
      steps_.for_each(start_, low, kBar, [&](int second, int second_to, Packed128 other) {
        if (second == first_to || second_to == first) return;
        if (second == first && side[first] < 2) return;
        const Packed128 sides = Steps::side_of(one).bits() + Steps::side_of(other).bits() - start_;
        plays_.push(PlayKey(sides | steps_.hit_on(first_to) | steps_.hit_on(second_to)));
      });
    });
  }

  /// One checker takes both dice. Every way past an intermediate point without a hit has the same
  /// result; a hit on the way makes a result of its own.
  void one_checker_both_dice(int high, int low) noexcept {
    const Side side(start_);
    for (int from = side.rearmost(); from > high + low; --from) {
      if (side[from] == 0) continue;
      const int to = from - high - low;
      const Packed128 arriving = steps_.arrival(to);
      if (arriving == 0) continue;
      const Packed128 key = (start_ + arriving - Side::unit(from)) | steps_.hit_on(to);
      bool quiet_way = false;
      for (const int way : {from - high, from - low}) {
        if (steps_.arrival(way) == 0) continue;
        const Packed128 hit = steps_.hit_on(way);
        if (hit == 0) {
          quiet_way = true;
        } else {
          plays_.push(PlayKey(key | hit));
        }
      }
      if (quiet_way) plays_.push(PlayKey(key));
    }
  }

  Packed128 start_;
  Steps steps_;
  PlayList& plays_;
  int most_steps_ = 0;
};

}  // namespace

void generate_plays(const Position& position, Roll roll, PlayList& plays) noexcept {
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
