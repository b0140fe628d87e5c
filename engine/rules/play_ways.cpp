#include "rules/play_ways.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <unordered_map>
#include <utility>

#include "rules/steps.h"

namespace sixfold {
namespace {

struct HashOfBits {
  std::size_t operator()(Packed128 bits) const noexcept {
    constexpr std::uint64_t kOdd = 0x9e3779b97f4a7c15;
    return static_cast<std::size_t>((static_cast<std::uint64_t>(bits >> 64) * kOdd) ^
                                    static_cast<std::uint64_t>(bits));
  }
};

bool are_same_moves(const PlayWay& a, const PlayWay& b) {
  return std::is_permutation(a.begin(), a.end(), b.begin(), b.end());
}

/// Walks through all checker moves of a roll and keeps those that end in a legal play.
class Walk {
 public:
  Walk(const Position& position, Roll roll)
      : start_(position.roller.bits()), steps_(position.opponent) {
    generate_plays(position, roll, plays_);
    ways_.resize(plays_.size());
    for (std::size_t i = 0; i < plays_.size(); ++i) numbers_[plays_[i].bits()] = i;
  }

  /// Equal steps commute: their sources in descending order reach each play once.
  void equal_steps(int die) { step({die, die, die, die}, 0, start_, kBar); }
  void two_steps(int first, int second) { step({first, second, 0, 0}, 0, start_, kBar); }

  [[nodiscard]] std::vector<std::vector<PlayWay>> take() { return std::move(ways_); }

 private:
  using Dice = std::array<int, 4>;

  void step(const Dice& dice, std::size_t depth, Packed128 key, int highest) {
    const bool is_last = depth == dice.size() || dice[depth] == 0;
    // Where a checker can be borne off by more than it needs, fewer dice may come to the same.
    if (is_last || steps_.sources(Steps::occupied(Steps::side_of(key)), dice[depth]) == 0) {
      keep(key);
      return;
    }
    steps_.for_each(key, dice[depth], highest, [&](int from, int to, Packed128 next) {
      way_.push_back({from, to});
      step(dice, depth + 1, next, dice[1] == dice[0] ? from : kBar);
      way_.pop_back();
    });
  }
  /// Where another order plays more dice, the key is none of a play's.
  void keep(Packed128 key) {
    const auto found = numbers_.find(key);
    if (found == numbers_.end()) return;
    std::vector<PlayWay>& ways = ways_[found->second];
    const bool is_known = std::any_of(
        ways.begin(), ways.end(), [&](const PlayWay& way) { return are_same_moves(way, way_); });
    if (!is_known) ways.push_back(way_);
  }

  Packed128 start_;
  Steps steps_;
  PlayList plays_;
  std::unordered_map<Packed128, std::size_t, HashOfBits> numbers_;
  std::vector<std::vector<PlayWay>> ways_;
  PlayWay way_;
};

}  // namespace

std::vector<std::vector<PlayWay>> play_ways(const Position& position, Roll roll) {
  Walk walk(position, roll);
  if (roll.is_doubles()) {
    walk.equal_steps(roll.high);
  } else {
    walk.two_steps(roll.high, roll.low);
    walk.two_steps(roll.low, roll.high);
  }
  return walk.take();
}

}  // namespace sixfold
