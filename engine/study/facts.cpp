#include "study/facts.h"

#include <algorithm>
#include <bit>
#include <cassert>

namespace sixfold {
namespace {

constexpr int kStack = 5;
constexpr std::uint32_t kAllPoints = (1u << kPoints) - 1;
constexpr std::uint32_t kHomeOnly = (1u << kHomePoints) - 1;

/// Points of a range with a number of checkers from `least` to `most`, in descending order.
std::vector<int> points_with(const Side& side, int first, int last, int least, int most) {
  std::vector<int> points;
  for (int point = last; point >= first; --point) {
    if (side[point] >= least && side[point] <= most) points.push_back(point);
  }
  return points;
}

std::vector<int> held(const Side& side, int first, int last) {
  return points_with(side, first, last, 2, kMaxCheckers);
}

Prime longest_prime(const Side& side) {
  Prime longest;
  Prime here;
  for (int point = kPoints; point >= 1; --point) {
    if (side[point] < 2) {
      here = {};
      continue;
    }
    if (here.length++ == 0) here.from = point;
    if (here.length >= 2 && here.length > longest.length) longest = here;
  }
  return longest;
}

/// Counts rolls: `reach` says of a play how far it gets, 0 for not at all.
template <typename Reach>
RollCount counted_rolls(const Position& position, int all, Reach reach) {
  RollCount count;
  PlayList plays;
  for (const Roll roll : kRolls) {
    generate_plays(position, roll, plays);
    int most = 0;
    for (const PlayKey play : plays) most = std::max(most, reach(play));
    if (most >= 1) count.any += roll.weight();
    if (most >= all) count.more += roll.weight();
  }
  return count;
}

}  // namespace

std::vector<int> without(std::span<const int> points, std::span<const int> others) {
  std::vector<int> left;
  for (const int point : points) {
    if (std::find(others.begin(), others.end(), point) == others.end()) left.push_back(point);
  }
  return left;
}

SideFacts side_facts(const Side& side) {
  SideFacts facts;
  facts.pips = side.pips();
  facts.blots = points_with(side, 1, kPoints, 1, 1);
  facts.home_blots = points_with(side, 1, kHomePoints, 1, 1);
  facts.anchors = held(side, kFarHome, kPoints);
  facts.home_points = held(side, 1, kHomePoints);
  facts.outer_points = held(side, kHomePoints + 1, kFarHome - 1);
  facts.prime = longest_prime(side);
  for (const int point : points_with(side, 1, kPoints, 3, kMaxCheckers)) {
    facts.spares.emplace_back(point, side[point] - 2);
  }
  facts.stacked = points_with(side, 1, kPoints, kStack, kMaxCheckers);
  facts.back = side.sum(kFarHome);
  facts.on_bar = side[kBar];
  return facts;
}

RollCount hitting_rolls(const Position& position) { return hitting_rolls(position, kAllPoints); }

RollCount hitting_rolls(const Position& position, std::uint32_t points) {
  assert(!game_over(position));
  return counted_rolls(position, 2,
                       [=](PlayKey play) { return std::popcount(play.hits() & points); });
}

std::optional<RollCount> entering_rolls(const Position& position) {
  assert(!game_over(position));
  const int waiting = position.roller[kBar];
  if (waiting == 0) return std::nullopt;
  return counted_rolls(position, waiting,
                       [&](PlayKey play) { return waiting - play.mover()[kBar]; });
}

PlayFacts play_facts(const Position& before, PlayKey play) {
  const Position after = position_after(before, play);
  const Side& mover = after.opponent;
  PlayFacts facts;
  facts.mover = side_facts(mover);
  facts.opponent = side_facts(after.roller);
  facts.hits = std::popcount(play.hits());
  for (int point = kPoints; point >= 1; --point) {
    if ((play.hits() >> (point - 1) & 1u) != 0) facts.hit_on.push_back(point);
  }
  const std::vector<int> had = held(before.roller, 1, kPoints);
  const std::vector<int> has = held(mover, 1, kPoints);
  facts.made = without(has, had);
  facts.broken = without(held(before.roller, 1, kPoints - 1), has);
  facts.splits_back = before.roller[kPoints] == 2 && mover[kPoints] == 1;
  facts.stripped =
      without(points_with(mover, 1, kPoints, 2, 2), points_with(before.roller, 1, kPoints, 0, 2));
  facts.mover_wins = game_over(after);
  if (facts.mover_wins) return facts;
  facts.shots = hitting_rolls(after);
  facts.shots_at_back = hitting_rolls(after, kHomeOnly).any;
  facts.shots_at_others = hitting_rolls(after, kAllPoints & ~kHomeOnly).any;
  facts.opponent_enters = entering_rolls(after);
  return facts;
}

}  // namespace sixfold
