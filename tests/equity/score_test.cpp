#include "equity/score.h"

#include <catch2/catch.hpp>

#include "rules/input_error.h"

namespace sixfold {
namespace {

/// (E_gammon - E_win) / (E_win - E_lose), for the player's own gammons and for the opponent's.
/// Common practice.
struct GammonPrices {
  double own;
  double opponents;
};

GammonPrices prices_at(const char* score) {
  const OutcomeWorth w = parse_score(score).worth;
  return {(w[4] - w[3]) / (w[3] - w[2]), (w[2] - w[1]) / (w[3] - w[2])};
}

}  // namespace

TEST_CASE("Gammon prices at the four scores are those of common practice") {
  const auto check = [](const char* score, double own, double opponents) {
    INFO(score);
    CHECK(prices_at(score).own == Approx(own));
    CHECK(prices_at(score).opponents == Approx(opponents));
  };
  check("money", 0.5, 0.5);
  check("dmp", 0.0, 0.0);
  check("gammon-go", 1.0, 0.0);
  check("gammon-save", 0.0, 1.0);
}

TEST_CASE("A backgammon is worth three points at money and no more than a gammon at match scores") {
  CHECK(parse_score("money").worth == OutcomeWorth{-3, -2, -1, 1, 2, 3});
  for (const char* score : {"dmp", "gammon-go", "gammon-save"}) {
    const OutcomeWorth w = parse_score(score).worth;
    CHECK(w[0] == w[1]);
    CHECK(w[4] == w[5]);
  }
}

TEST_CASE("Losing a single game is -1 and winning one is +1 at every score") {
  for (const char* score : {"money", "dmp", "gammon-go", "gammon-save"}) {
    CHECK(parse_score(score).worth[2] == -1.0);
    CHECK(parse_score(score).worth[3] == 1.0);
  }
}

TEST_CASE("The opponent of gammon-go plays gammon-save, and the other way round") {
  const OutcomeWorth go = parse_score("gammon-go").worth;
  const OutcomeWorth save = parse_score("gammon-save").worth;
  CHECK(opponents_worth(go) == save);
  CHECK(opponents_worth(save) == go);
  CHECK(opponents_worth(parse_score("money").worth) == parse_score("money").worth);
}

TEST_CASE("Equity at a match score is match-winning chance on another scale") {
  const auto chance = [](const char* score, double equity) {
    return match_winning_chance(parse_score(score), equity).value();
  };
  CHECK(chance("dmp", 0.0) == Approx(0.5));
  // 2 away against 1 away, Crawford: a single win leads to 1 away each, a gammon wins the match.
  CHECK(chance("gammon-go", -1.0) == Approx(0.0));
  CHECK(chance("gammon-go", 1.0) == Approx(0.5));
  CHECK(chance("gammon-go", 3.0) == Approx(1.0));
  CHECK(chance("gammon-save", 1.0) == Approx(1.0));
  CHECK(chance("gammon-save", -1.0) == Approx(0.5));
  CHECK(chance("gammon-save", -3.0) == Approx(0.0));
  CHECK_FALSE(match_winning_chance(parse_score("money"), 0.0).has_value());
}

TEST_CASE("An unknown score is refused with the known ones named") {
  for (const char* text : {"", "Money", "gammon go", "0-away/3-away", "money,dmp"}) {
    INFO(text);
    CHECK_THROWS_AS((void)parse_score(text), InputError);
    CHECK_THROWS_WITH((void)parse_score(text), Catch::Contains("gammon-save"));
  }
}

}  // namespace sixfold
