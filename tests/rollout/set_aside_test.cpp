// Which plays of a rollout are set aside, and what is told of them: by hand in small cases, and in
// a race.
#include "rollout/set_aside.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <initializer_list>

#include "rollout/small_race.h"

namespace sixfold {
namespace {

/// Games that are won or lost singly, with these equities block by block.
PlayBlocks play_of(PlayKey key, std::initializer_list<double> equities) {
  PlayBlocks play;
  play.play = key;
  play.possible = play.open = 0b001100;
  for (const double equity : equities) {
    BlockMeans block;
    block.outcomes[static_cast<std::size_t>(Outcome::kWinSingle)] = 0.5 + 0.5 * equity;
    block.outcomes[static_cast<std::size_t>(Outcome::kLoseSingle)] = 0.5 - 0.5 * equity;
    play.series.add(block);
    play.by_roll.add({});
  }
  return play;
}

/// Behind the second by .5 and .7 in turn; the third starts like the second but ends at its level.
std::vector<PlayBlocks> three_plays() {
  PlayList keys;
  generate_plays(parse_position("8 7 6 / 6 5 3", 3), make_roll(2, 1), keys);
  REQUIRE(keys.size() >= 3);
  return {play_of(keys[0], {.3, .1, .3, .1, .3, .1, .3, .1, .3, .1, .3, .1}),
          play_of(keys[1], {.8, .8, .8, .8, .8, .8, .8, .8, .8, .8, .8, .8}),
          play_of(keys[2], {.7, .9, .7, .9, .7, .9, .7, .9, .7, .9, .7, .8})};
}

EstimateRules money_rules() {
  EstimateRules rules;
  rules.worth = kMoneyWorth;
  return rules;
}

const std::vector<std::size_t> kAll{0, 1, 2};

const RolledPlay& told_of(const std::vector<RolledPlay>& rolled, PlayKey play) {
  return *std::find_if(rolled.begin(), rolled.end(),
                       [&](const RolledPlay& one) { return one.play == play; });
}

RolloutSettings contested(double half_width) {
  RolloutSettings settings = settings_of(72);
  settings.make_plain();
  settings.half_width = half_width;
  return settings;
}

}  // namespace

TEST_CASE("A play far behind is set aside and told as a one-sided bound, of the second half") {
  std::vector<PlayBlocks> plays = three_plays();
  CHECK(set_aside(plays, kAll, money_rules()) == std::vector<std::size_t>{1, 2});
  REQUIRE(plays[0].told_from);
  CHECK(*plays[0].told_from == 6);
  const std::vector<RolledPlay> rolled = estimates_of(plays, money_rules());
  REQUIRE(rolled.size() == 3);
  CHECK(rolled[0].play == plays[1].play);
  const RolledPlay& aside = rolled[2];
  CHECK(aside.play == plays[0].play);
  CHECK(aside.trials == 36);
  CHECK(aside.equity.mean == Approx(.2));
  CHECK(aside.cost.mean == Approx(.6));
  // Six differences .5 or .7: their standard deviation is the root of .06 / 5, that of the mean the
  // root of .01 / 5; Student's t with five degrees of freedom is within 2.5706 with 95%.
  CHECK(aside.cost.half_width == Approx(2.5706 * std::sqrt(.002)).epsilon(1e-4));
  // The third may be the best as well, and is less far ahead: by .4, .8, .4, .8, .4, .7, on average
  // 3.5 / 6, with a standard deviation of the mean of 1/12. One-sided t is below 2.0150 with 95%.
  REQUIRE(aside.at_least);
  CHECK(*aside.at_least == Approx(3.5 / 6.0 - 2.0150 / 12.0).epsilon(1e-4));
}

TEST_CASE("A bound is wider for having looked, as intervals are, and follows their level") {
  std::vector<PlayBlocks> plays = three_plays();
  EstimateRules rules = money_rules();
  rules.widening = 1.5;
  rules.confidence = .9;
  CHECK(set_aside(plays, kAll, rules).size() == 2);
  // Below 1.4759 with 90%.
  const std::vector<RolledPlay> rolled = estimates_of(plays, rules);
  REQUIRE(told_of(rolled, plays[0].play).at_least);
  CHECK(*told_of(rolled, plays[0].play).at_least ==
        Approx(3.5 / 6.0 - 1.5 * 1.4759 / 12.0).epsilon(1e-4));
}

TEST_CASE("Where only one play may be the best a bound is against that one") {
  std::vector<PlayBlocks> plays = three_plays();
  plays[2] = play_of(plays[2].play, {.4, .5, .4, .5, .4, .5, .4, .5, .4, .5, .4, .5});
  CHECK(set_aside(plays, kAll, money_rules()) == std::vector<std::size_t>{1, 2});
  const std::vector<RolledPlay> rolled = estimates_of(plays, money_rules());
  REQUIRE(told_of(rolled, plays[0].play).at_least);
  CHECK(*told_of(rolled, plays[0].play).at_least ==
        Approx(.6 - 2.0150 * std::sqrt(.002)).epsilon(1e-4));
  CHECK_FALSE(told_of(rolled, plays[2].play).at_least);
}

TEST_CASE("Nothing is set aside by fewer than six blocks, nor where all differences are wanted") {
  std::vector<PlayBlocks> plays = three_plays();
  std::vector<PlayBlocks> fewer;
  for (const PlayBlocks& play : plays) {
    fewer.push_back(play);
    fewer.back().series = play.series.part(0, 11);
    fewer.back().by_roll = play.by_roll.part(0, 11);
  }
  CHECK(set_aside(fewer, kAll, money_rules()) == kAll);
  EstimateRules rules = money_rules();
  rules.keep_all = true;
  CHECK(set_aside(plays, kAll, rules) == kAll);
  CHECK_FALSE(plays[0].told_from);
}

TEST_CASE("A named play is never set aside") {
  std::vector<PlayBlocks> plays = three_plays();
  plays[0].is_named = true;
  CHECK(set_aside(plays, kAll, money_rules()) == kAll);
  CHECK_FALSE(plays[0].told_from);
  CHECK_FALSE(told_of(estimates_of(plays, money_rules()), plays[0].play).at_least);
}

TEST_CASE("The closest rival of the best goes on however far behind it is") {
  std::vector<PlayBlocks> plays = three_plays();
  const std::vector<std::size_t> two{0, 1};
  CHECK(set_aside(plays, two, money_rules()) == two);
  CHECK_FALSE(plays[0].told_from);
}

TEST_CASE("A play whose second half leaves it open whether it is behind goes on") {
  std::vector<PlayBlocks> plays = three_plays();
  plays[0] = play_of(plays[0].play, {.3, .1, .3, .1, .3, .1, .9, .1, .9, .6, .9, .7});
  CHECK(set_aside(plays, kAll, money_rules()) == kAll);
  CHECK_FALSE(plays[0].told_from);
}

TEST_CASE("A play set aside is told of the trials after its judgement when the others go on") {
  std::vector<PlayBlocks> plays = three_plays();
  CHECK(set_aside(plays, kAll, money_rules()).size() == 2);
  const RolledPlay before = told_of(estimates_of(plays, money_rules()), plays[0].play);
  for (int i = 0; i < 60; ++i) {
    for (const std::size_t k : {1u, 2u}) {
      plays[k].series.add(play_of({}, {i % 2 == 0 ? .5 : .6}).series.groups().front());
    }
  }
  const RolledPlay after = told_of(estimates_of(plays, money_rules()), plays[0].play);
  CHECK(after.equity == before.equity);
  CHECK(after.cost.mean == Approx(before.cost.mean).epsilon(1e-12));
  CHECK(after.cost.half_width == Approx(before.cost.half_width).epsilon(1e-12));
  CHECK(after.at_least == before.at_least);
}

TEST_CASE("In a race a play set aside has the second half of a fixed rollout") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.02);
  RolloutSettings settings = contested(0.03);
  settings.keep_groups = true;
  const RolloutResult result = roll_out(race, problem, settings);
  // The first look is at twelve blocks.
  RolloutSettings fixed = settings_of(72);
  fixed.make_plain();
  fixed.keep_groups = true;
  const RolloutResult whole = roll_out(race, problem, fixed);
  int at_first_look = 0;
  for (const RolledPlay& play : result.plays) {
    if (!play.at_least) continue;
    INFO(play.trials << " trials");
    CHECK(play.trials < result.plays.front().trials);
    CHECK(*play.at_least > 0.0);
    CHECK(*play.at_least < play.cost.mean);
    if (play.trials != 36) continue;
    ++at_first_look;
    const std::vector<OutcomeDistribution>& blocks = told_of(whole.plays, play.play).groups;
    REQUIRE(blocks.size() == 12);
    CHECK(play.groups == std::vector(blocks.begin() + 6, blocks.end()));
  }
  CHECK(at_first_look > 0);
}

TEST_CASE("In a race a named play has as many trials as the contested ones") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.02);
  const RolloutSettings settings = contested(0.03);
  const PlayKey last = roll_out(race, problem, settings).plays.back().play;
  REQUIRE(roll_out(race, problem, settings).plays.back().at_least);
  ThreadRunner runner;
  const RolloutResult named =
      sixfold::roll_out(race, problem.position, problem.plays, money_score(), settings, runner, {},
                        std::vector{last});
  const RolledPlay& its = told_of(named.plays, last);
  CHECK_FALSE(its.at_least);
  CHECK(its.trials == named.plays.front().trials);
  CHECK(its.trials > 72);
  CHECK(its.cost.half_width <= 0.03);
}

}  // namespace sixfold
