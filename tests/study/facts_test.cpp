#include "study/facts.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "rules/notation.h"

namespace sixfold {
namespace {

const Position kStart = parse_position("24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5");

PlayFacts facts_of(const Position& position, const char* roll, const char* play) {
  return play_facts(position, parse_play(position, parse_roll(roll), play));
}

/// A shooter on 24, and on another point where wanted, a blot of the other side `distance` pips
/// off.
Position shot(int distance, int nearer = 0) {
  const int from = distance == 24 ? kBar : 24;
  std::string text = from == kBar ? "bar" : "24";
  const int blot = from - distance;
  if (nearer > 0) text += " " + std::to_string(blot + nearer);
  // The other side's last checker stands behind the shooters and out of reach.
  return parse_position(text + " / " + std::to_string(mirrored(blot)), nearer > 0 ? 2 : 1);
}

}  // namespace

// Source: the usual table of shots, recomputed exactly.
TEST_CASE("direct and combination shots are the published ones") {
  const int published[] = {11, 12, 14, 15, 15, 17, 6, 6, 5, 3, 2, 3,
                           0,  0,  1,  1,  0,  1,  0, 1, 0, 0, 0, 1};
  for (int distance = 1; distance <= 24; ++distance) {
    INFO("distance " << distance);
    CHECK(hitting_rolls(shot(distance)).any == published[distance - 1]);
  }
}

// Source: the same for two shooters.
TEST_CASE("shots of two checkers are the published ones") {
  struct Published {
    int near, far, rolls;
  };
  for (const auto& [near, far, rolls] : {Published{1, 2, 20},
                                         {1, 4, 21},
                                         {1, 6, 24},
                                         {2, 4, 23},
                                         {3, 6, 28},
                                         {4, 6, 27},
                                         {5, 6, 28}}) {
    INFO(near << " and " << far);
    CHECK(hitting_rolls(shot(far, near)).any == rolls);
  }
}

// Source: 36 - (6 - n)^2 rolls enter one checker against n open points, n^2 enter two.
TEST_CASE("entering rolls are the published ones") {
  for (int open = 0; open <= 6; ++open) {
    std::string home;
    for (int point = 1; point <= 6 - open; ++point) home += std::to_string(point) + "x2 ";
    const Position one = parse_position("bar 8 / " + home + "13", 14);
    const Position two = parse_position("barx2 8 / " + home + "13", 14);
    INFO(open << " open points");
    CHECK(entering_rolls(one)->any == 36 - (6 - open) * (6 - open));
    CHECK(entering_rolls(one)->more == entering_rolls(one)->any);
    CHECK(entering_rolls(two)->more == open * open);
  }
  CHECK_FALSE(entering_rolls(kStart));
}

TEST_CASE("the start has its well-known facts") {
  const SideFacts side = side_facts(kStart.roller);
  CHECK(side.pips == 167);
  CHECK(side.blots.empty());
  CHECK(side.anchors == std::vector{24});
  CHECK(side.home_points == std::vector{6});
  CHECK(side.prime == Prime{});
  CHECK(side.spares == std::vector<std::pair<int, int>>{{13, 3}, {8, 1}, {6, 3}});
  CHECK(side.stacked == std::vector{13, 6});
  CHECK(side.back == 2);
}

TEST_CASE("plays make, break and strip points, and leave shots") {
  const PlayFacts five_point = facts_of(kStart, "31", "8/5 6/5");
  CHECK(five_point.made == std::vector{5});
  CHECK(five_point.broken.empty());
  CHECK(five_point.stripped == std::vector{8});
  CHECK(five_point.mover.prime == Prime{2, 6});
  // Two checkers 20 pips away from nothing: no blot at all.
  CHECK(five_point.shots == RollCount{});
  // A slot on the five point: hit by 4s and by 31, 22, 11 and the like: 15 rolls with no blocks.
  const PlayFacts slot = facts_of(kStart, "21", "13/11 6/5");
  CHECK(slot.mover.blots == std::vector{11, 5});
  CHECK(slot.mover.home_blots == std::vector{5});
  CHECK(slot.shots.any >= 15);
  const PlayFacts run = facts_of(kStart, "65", "24/13");
  CHECK(run.broken.empty());
  CHECK(run.splits_back);
  CHECK(run.mover.back == 1);
  const Position hit = position_after(kStart, parse_play(kStart, parse_roll("21"), "13/11 6/5"));
  const PlayFacts answer = facts_of(hit, "41", "24/20* 24/23");
  CHECK(answer.hits == 1);
  CHECK(answer.opponent.on_bar == 1);
  // The home board holds its six point alone: 36 - 1 rolls enter.
  CHECK(answer.opponent_enters->any == 35);
}

TEST_CASE("points outside the home board are made and given up too") {
  const PlayFacts bar_point = facts_of(kStart, "61", "13/7 8/7");
  CHECK(bar_point.made == std::vector{7});
  CHECK(bar_point.broken.empty());
  CHECK(bar_point.mover.outer_points == std::vector{13, 8, 7});
  // Both checkers leave the 24 point, which is no loss worth a word.
  const PlayFacts up = facts_of(kStart, "66", "24/18(2) 13/7(2)");
  CHECK(up.made == std::vector{18, 7});
  CHECK(up.broken.empty());
  CHECK_FALSE(up.splits_back);
  const Position advanced = parse_position("20x2 13x5 8x2 6x6 / 24x2 13x5 8x3 6x5");
  CHECK(facts_of(advanced, "52", "20/13").broken == std::vector{20});
  CHECK(facts_of(advanced, "21", "8/6 8/7").broken == std::vector{8});
}

TEST_CASE("shots at back checkers are counted apart from those at others") {
  // From 13 a checker hits on 12 with any 1: 11 rolls; on 6 with 61, 52 and 43: 6 rolls; with 61
  // on both. The 6 point is of the shooter's home board.
  const Position shooter = parse_position("13 / 19 13", 2);
  CHECK(hitting_rolls(shooter) == RollCount{15, 2});
  CHECK(hitting_rolls(shooter, 1u << 5).any == 6);
  CHECK(hitting_rolls(shooter, 1u << 11).any == 11);
  const PlayFacts left = facts_of(parse_position("22 13 / 13", 2), "21", "22/19");
  CHECK(left.shots == RollCount{15, 2});
  CHECK(left.shots_at_back == 6);
  CHECK(left.shots_at_others == 11);
}

TEST_CASE("hits are told by the point they are made on") {
  const Position hit = position_after(kStart, parse_play(kStart, parse_roll("21"), "13/11 6/5"));
  CHECK(facts_of(hit, "41", "24/20* 24/23").hit_on == std::vector{20});
  CHECK(facts_of(kStart, "31", "8/5 6/5").hit_on.empty());
}

TEST_CASE("the last play of a game leaves nothing to count") {
  const PlayFacts last = facts_of(parse_position("1 / 6", 1), "21", "1/off");
  CHECK(last.shots == RollCount{});
  CHECK_FALSE(last.opponent_enters);
}

}  // namespace sixfold
