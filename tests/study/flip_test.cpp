#include "study/flip.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "base/input_error.h"
#include "evaluator/network_fixtures.h"
#include "rules/notation.h"
#include "study/samples.h"

namespace sixfold {
namespace {

const PlayKey kSafe = [] {
  PlayList plays;
  generate_plays(parse_position("24 6x3 4x2 / 20x2 6x2"), parse_roll("31"), plays);
  return plays[0];
}();
const PlayKey kBold = [] {
  PlayList plays;
  generate_plays(parse_position("24 6x3 4x2 / 20x2 6x2"), parse_roll("31"), plays);
  return plays[1];
}();

/// A play whose groups all show the same shares; a difference of `spread` between them at most.
RolledPlay rolled(PlayKey key, double wins, double won, double lost, double spread = 0.0) {
  RolledPlay play;
  play.play = key;
  for (int group = 0; group < 40; ++group) {
    const double off = group % 2 == 0 ? spread : -spread;
    play.groups.push_back({{0.0, lost, 1.0 - wins - lost - off, wins - won + off, won, 0.0}});
  }
  return play;
}

RolloutResult corner(const RolledPlay& first, const RolledPlay& second) {
  RolloutResult result;
  result.plays = {first, second};
  return result;
}

std::array<RolloutResult, 4> alike(const RolledPlay& first, const RolledPlay& second) {
  return {corner(first, second), corner(first, second), corner(second, first),
          corner(first, second)};
}

}  // namespace

TEST_CASE("prices of gammons are those of the worth they make") {
  for (const GammonPrices prices : {GammonPrices{0, 0}, {1, 0}, {0.3, 0.8}}) {
    const GammonPrices found = gammon_prices(worth_at_prices(prices));
    CHECK(found.own == Approx(prices.own));
    CHECK(found.opponents == Approx(prices.opponents));
  }
  CHECK(worth_at_prices({1, 0}) == parse_score("gammon-go", own_match_equities()).worth);
  CHECK(worth_at_prices({0, 1}) == parse_score("gammon-save", own_match_equities()).worth);
}

TEST_CASE("two plays are equal where what one wins more is worth the gammons that it misses") {
  // Safe: 5 more wins in 100, 10 gammons fewer: .10 = .20 a.
  const Flip flip(alike(rolled(kSafe, 0.55, 0.10, 0.1), rolled(kBold, 0.50, 0.20, 0.1)), 0.95);
  REQUIRE(flip.plays().size() == 2);
  const std::size_t safe = flip.plays()[0] == kSafe ? 0 : 1;
  CHECK(flip.at({0.4, 0.3}).best == safe);
  CHECK(flip.at({0.6, 0.9}).best == 1 - safe);
  CHECK(flip.at({0.4, 0.3}).lead.mean == Approx(0.02));
  CHECK(flip.lead(safe, 1 - safe, {1.0, 0.0}).mean == Approx(-0.10));
  const BreakEven found = flip.break_even(safe, 1 - safe, true);
  REQUIRE(found.price);
  CHECK(*found.price == Approx(0.5));
  CHECK_FALSE(flip.break_even(safe, 1 - safe, false).price);
}

TEST_CASE("outcomes change bilinearly between the corners") {
  std::array<RolloutResult, 4> corners =
      alike(rolled(kSafe, 0.5, 0.1, 0.1), rolled(kBold, 0.4, 0.1, 0.1));
  // With the roller's gammons at their dearest the bold play wins 20 in 100 more.
  corners[1] = corner(rolled(kSafe, 0.5, 0.1, 0.1), rolled(kBold, 0.6, 0.1, 0.1));
  const Flip flip(corners, 0.95);
  const std::size_t safe = flip.plays()[0] == kSafe ? 0 : 1;
  CHECK(flip.lead(safe, 1 - safe, {0, 0}).mean == Approx(0.2));
  CHECK(flip.lead(safe, 1 - safe, {1, 0}).mean == Approx(-0.2));
  CHECK(flip.lead(safe, 1 - safe, {0.5, 0}).mean == Approx(0.0).margin(1e-12));
  CHECK(flip.lead(safe, 1 - safe, {0.5, 0.5}).mean == Approx(0.1));
}

TEST_CASE("intervals of the plane are those of independent corners") {
  const auto corners =
      alike(rolled(kSafe, 0.55, 0.1, 0.1, 0.2), rolled(kBold, 0.5, 0.1, 0.1, -0.2));
  const Flip flip(corners, 0.95);
  const Estimate at_corner = flip.lead(0, 1, {0, 0});
  const Estimate in_the_middle = flip.lead(0, 1, {0.5, 0.5});
  CHECK(at_corner.half_width > 0.0);
  CHECK(in_the_middle.half_width == Approx(at_corner.half_width / 2.0));
  CHECK_FALSE(flip.at({0, 0}).is_settled());
  const BreakEven found = flip.break_even(0, 1, true);
  REQUIRE(found.open.size() == 1);
  CHECK(found.open[0].low == 0.0);
  CHECK(found.open[0].high == 1.0);
}

TEST_CASE("a plane is rolled out and checked, alike with any number of threads") {
  const NetworkEvaluator evaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  RolloutSettings settings;
  settings.trials = 36;
  const Position position = parse_position("24 6x3 4x2 / 20x2 6x2");
  const auto study = study_flip(instruments_of(evaluator), position, parse_roll("31"), settings);
  REQUIRE(study);
  CHECK(study->checks.size() == 3);
  ThreadRunner two(2);
  const auto again = study_flip(run_by(two, evaluator), position, parse_roll("31"), settings);
  REQUIRE(again->checks.size() == 3);
  for (std::size_t i = 0; i < study->checks.size(); ++i) {
    CHECK(again->checks[i].plane.lead == study->checks[i].plane.lead);
    CHECK(again->checks[i].direct == study->checks[i].direct);
  }
}

TEST_CASE("the match equity table places scores on the plane, as far as it goes") {
  const NetworkEvaluator evaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  const MatchEquityTable table = five_points();
  RolloutSettings settings;
  settings.trials = 6;
  const auto study =
      study_flip(instruments_of(evaluator, table), parse_position("24 6x3 4x2 / 20x2 6x2"),
                 parse_roll("31"), settings);
  REQUIRE(study);
  CHECK(study->most_away == 5);
  REQUIRE(study->away.size() == 25);
  const PlaneScore& score = study->away[2 * 5 + 4];
  CHECK(score.name == "3-away/5-away");
  const double single = 5.0 / 7.0 - 4.0 / 7.0;
  CHECK(score.prices.own == Approx((5.0 / 6.0 - 5.0 / 7.0) / single));
  CHECK(score.prices.opponents == Approx((4.0 / 7.0 - 3.0 / 6.0) / single));
}

TEST_CASE("without a choice there is no plane") {
  const NetworkEvaluator evaluator(Networks{modest_network(64, 1), modest_network(64, 2)});
  CHECK_THROWS_WITH(study_flip(instruments_of(evaluator), parse_position("bar / 6x2 3x2", 4),
                               parse_roll("63"), RolloutSettings{}),
                    Catch::Contains("no choice"));
  CHECK_THROWS_WITH(study_flip(instruments_of(evaluator), parse_position("6 / "), parse_roll("63"),
                               RolloutSettings{}),
                    Catch::Contains("game is over"));
}

}  // namespace sixfold
