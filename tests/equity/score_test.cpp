#include "equity/score.h"

#include <array>
#include <catch2/catch.hpp>

#include "base/input_error.h"

namespace sixfold {
namespace {

GammonPrices prices_at(const char* score) {
  return gammon_prices(parse_score(score, own_match_equities()).worth);
}

}  // namespace

// Common practice.
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
  CHECK(money_score().worth == OutcomeWorth{-3, -2, -1, 1, 2, 3});
  CHECK(parse_score("money", own_match_equities()) == money_score());
  for (const char* score : {"dmp", "gammon-go", "gammon-save"}) {
    const OutcomeWorth w = parse_score(score, own_match_equities()).worth;
    CHECK(w[0] == w[1]);
    CHECK(w[4] == w[5]);
  }
}

TEST_CASE("Losing a single game is -1 and winning one is +1 at every score") {
  for (const char* score : {"money", "dmp", "gammon-go", "gammon-save"}) {
    CHECK(parse_score(score, own_match_equities()).worth[2] == -1.0);
    CHECK(parse_score(score, own_match_equities()).worth[3] == 1.0);
  }
}

TEST_CASE("The opponent of gammon-go plays gammon-save, and the other way round") {
  const OutcomeWorth go = parse_score("gammon-go", own_match_equities()).worth;
  const OutcomeWorth save = parse_score("gammon-save", own_match_equities()).worth;
  CHECK(opponents_worth(go) == save);
  CHECK(opponents_worth(save) == go);
  CHECK(opponents_worth(money_score().worth) == money_score().worth);
}

TEST_CASE("Equity at a match score is match-winning chance on another scale") {
  const auto chance = [](const char* score, double equity) {
    return match_winning_chance(parse_score(score, own_match_equities()), equity).value();
  };
  CHECK(chance("dmp", 0.0) == Approx(0.5));
  // 2 away against 1 away, Crawford: a single win leads to 1 away each, a gammon wins the match.
  CHECK(chance("gammon-go", -1.0) == Approx(0.0));
  CHECK(chance("gammon-go", 1.0) == Approx(0.5));
  CHECK(chance("gammon-go", 3.0) == Approx(1.0));
  CHECK(chance("gammon-save", 1.0) == Approx(1.0));
  CHECK(chance("gammon-save", -1.0) == Approx(0.5));
  CHECK(chance("gammon-save", -3.0) == Approx(0.0));
  CHECK_FALSE(match_winning_chance(money_score(), 0.0).has_value());
}

TEST_CASE("An away score is worth what the table says of the scores that it leads to") {
  const MatchEquityTable& table = own_match_equities();
  const Score score = parse_score("3-away/5-away", own_match_equities());
  REQUIRE(score.away == MatchScore{3, 5, MatchPhase::kBeforeCrawford});
  const auto chance = [&](double equity) { return match_winning_chance(score, equity).value(); };
  const std::array<double, kOutcomeCount> expected{table.chance(3, 2), table.chance(3, 3),
                                                   table.chance(3, 4), table.chance(2, 5),
                                                   table.chance(1, 5), 1.0};
  for (std::size_t i = 0; i < kOutcomeCount; ++i) {
    CHECK(chance(score.worth[i]) == Approx(expected[i]));
  }
  CHECK(score.worth[2] == Approx(-1.0));
  CHECK(score.worth[3] == Approx(1.0));
}

TEST_CASE("Named scores are away scores") {
  const auto worth = [](const char* text) { return parse_score(text, own_match_equities()).worth; };
  CHECK(worth("1-away/1-away") == worth("dmp"));
  CHECK(worth("2-away/1-away crawford") == worth("gammon-go"));
  CHECK(worth("1-away/2-away crawford") == worth("gammon-save"));
  const OutcomeWorth mirrored = opponents_worth(worth("3-away/5-away"));
  for (std::size_t i = 0; i < kOutcomeCount; ++i) {
    CHECK(worth("5-away/3-away")[i] == Approx(mirrored[i]));
  }
  CHECK(parse_score("4-away/1-away post-crawford", own_match_equities()).away->phase ==
        MatchPhase::kAfterCrawford);
}

TEST_CASE("Impossible scores are refused with the reason and the place") {
  struct Case {
    const char* text;
    const char* complaint;
  };
  for (const Case& each : {Case{"0-away/3-away", "0-away is not in the table"},
                           {"3-away/26-away", "26-away"},
                           {"3-away/5-away crawford", "nobody is 1 away"},
                           {"3-away/5-away post-crawford", "nobody"},
                           {"2-away/1-away", "a side is 1 away"},
                           {"1-away/1-away crawford", "both sides"},
                           {"3-away", "the text ends"},
                           {"3-away/x", "'x'"},
                           {"3-away/5-away soon", "'soon'"},
                           {"-1-away/3-away", "'-1-away/3-aw'"},
                           {"3-away/5-away crawford crawford", "'crawford'"}}) {
    INFO(each.text);
    CHECK_THROWS_AS((void)parse_score(each.text, own_match_equities()), InputError);
    CHECK_THROWS_WITH((void)parse_score(each.text, own_match_equities()),
                      Catch::Contains(each.complaint));
  }
}

TEST_CASE("By the Jacoby rule gammons count once the cube has been turned") {
  const Score score = by_jacoby_rule(money_score());
  CHECK(score.stakes[0].worth == OutcomeWorth{-1, -1, -1, 1, 1, 1});
  CHECK(score.stakes[1].worth == OutcomeWorth{-6, -4, -2, 2, 4, 6});
}

TEST_CASE("An unknown score is refused with the known ones named") {
  for (const char* text : {"", "monies", "gammon go", "3 away/5 away", "money,dmp"}) {
    INFO(text);
    CHECK_THROWS_AS((void)parse_score(text, own_match_equities()), InputError);
    CHECK_THROWS_WITH((void)parse_score(text, own_match_equities()),
                      Catch::Contains("gammon-save"));
  }
}

TEST_CASE("what is worth nothing more is chosen by a little, everything else by its worth") {
  CHECK(choosing_worth(kMoneyWorth) == kMoneyWorth);
  const OutcomeWorth dmp = choosing_worth(parse_score("dmp", own_match_equities()).worth);
  for (std::size_t i = 1; i < kOutcomeCount; ++i) CHECK(dmp[i] > dmp[i - 1]);
  CHECK(dmp[5] - dmp[3] < 0.011);
  CHECK(dmp[3] - dmp[2] == Approx(2.0));
  const OutcomeWorth save = parse_score("gammon-save", own_match_equities()).worth;
  const OutcomeWorth chosen = choosing_worth(save);
  CHECK(chosen[1] == save[1]);
  CHECK(chosen[0] < save[0]);
  CHECK(chosen[4] > save[4]);
  CHECK(choosing_worth(opponents_worth(save)) == opponents_worth(chosen));
}

TEST_CASE("A score has one name, however it is written") {
  struct Form {
    const char* read;
    const char* written;
  };
  for (const Form& form : {
           Form{"Money", "money"},
           Form{"DMP", "dmp"},
           Form{" gammon-GO ", "gammon-go"},
           Form{"3-Away/5-AWAY", "3-away/5-away"},
           Form{"3-away / 5-away", "3-away/5-away"},
           Form{"2-away/1-away   Crawford", "2-away/1-away crawford"},
           Form{"4-away/1-away POST-crawford", "4-away/1-away post-crawford"},
           Form{"1-away/1-away post-crawford", "1-away/1-away"},
       }) {
    INFO(form.read);
    CHECK(parse_score(form.read, own_match_equities()).name == form.written);
  }
}

}  // namespace sixfold
