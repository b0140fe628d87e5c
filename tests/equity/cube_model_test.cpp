#include "equity/cube_model.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "equity/score.h"

namespace sixfold {
namespace {

/// Wins and losses that are worth W and L points on average; backgammons stay out.
OutcomeDistribution worth_on_average(double win, double loss, double p) {
  OutcomeDistribution outcomes;
  outcomes[4] = p * (win - 1.0);
  outcomes[3] = p * (2.0 - win);
  outcomes[1] = (1.0 - p) * (loss - 1.0);
  outcomes[2] = (1.0 - p) * (2.0 - loss);
  return outcomes;
}

CubeModel money_model(double win, double loss, double life) {
  return {money_score().stakes, worth_on_average(win, loss, 0.5), life};
}

double take_point(const CubeModel& model) {
  return model.worth(1, CubeOwner::kRoller).crossing(model.stake(0).pass_lose);
}
double cash_point(const CubeModel& model) {
  return model.worth(1, CubeOwner::kOpponent).crossing(model.stake(0).pass_win);
}

}  // namespace

// Source: Janowski R., Take-points in money games, 1993.
TEST_CASE("take and cash points at money are the published ones") {
  struct Published {
    double win, loss, life, take, cash;
  };
  for (const Published& each : {Published{1.0, 1.0, 0.0, 0.25, 0.75},
                                {1.0, 1.0, 2.0 / 3.0, 0.21429, 0.78571},
                                {1.0, 1.0, 1.0, 0.20, 0.80},
                                {1.25, 1.25, 2.0 / 3.0, 0.26471, 0.73529},
                                {1.5, 1.25, 2.0 / 3.0, 0.24324, 0.67568}}) {
    const CubeModel model = money_model(each.win, each.loss, each.life);
    CHECK(take_point(model) == Approx(each.take).margin(6e-6));
    CHECK(cash_point(model) == Approx(each.cash).margin(6e-6));
  }
}

// Source: as above; from memory.
TEST_CASE("an owned cube at money is worth what the published formula says") {
  for (const double life : {0.0, 0.5, 2.0 / 3.0, 1.0}) {
    for (const double win : {1.0, 1.3}) {
      for (const double loss : {1.0, 1.4}) {
        const CubeModel model = money_model(win, loss, life);
        for (double p = 0.05; p < cash_point(model) && p < 0.75; p += 0.1) {
          const double slope = win + loss + 0.5 * life;
          CHECK(model.worth(0, CubeOwner::kRoller).at(p) == Approx(p * slope - loss).margin(1e-5));
        }
        for (double p = take_point(model) + 0.06; p < 1.0; p += 0.1) {
          const double slope = win + loss + 0.5 * life;
          CHECK(model.worth(0, CubeOwner::kOpponent).at(p) ==
                Approx(p * slope - loss - 0.5 * life).margin(1e-5));
        }
      }
    }
  }
}

TEST_CASE("a centred cube is worth nothing at an even position and the pass at the live points") {
  for (const double life : {0.0, 0.6, 1.0}) {
    CHECK(money_model(1.2, 1.2, life).worth(0, CubeOwner::kCentred).at(0.5) ==
          Approx(0.0).margin(1e-9));
  }
  const WorthLine live = money_model(1.0, 1.0, 1.0).worth(0, CubeOwner::kCentred);
  CHECK(live.at(0.2) == Approx(-1.0).margin(1e-5));
  CHECK(live.at(0.8) == Approx(1.0).margin(1e-5));
  CHECK(live.at(0.65) == Approx(0.5).margin(1e-5));
}

TEST_CASE("the roller's model seen by the opponent is the opponent's model") {
  const Score score = parse_score("5-away/3-away", own_match_equities());
  const Score other = parse_score("3-away/5-away", own_match_equities());
  const OutcomeDistribution outcomes{{0.01, 0.12, 0.3, 0.4, 0.15, 0.02}};
  const CubeModel model(score.stakes, outcomes, 0.6);
  const CubeModel mirrored(other.stakes, reversed(outcomes), 0.6);
  for (std::size_t step = 0; step < model.steps(); ++step) {
    for (double p = 0.0; p <= 1.0; p += 0.125) {
      CHECK(model.worth(step, CubeOwner::kRoller).at(p) ==
            Approx(1.0 - mirrored.worth(step, CubeOwner::kOpponent).at(1.0 - p)));
      CHECK(model.worth(step, CubeOwner::kCentred).at(p) ==
            Approx(1.0 - mirrored.worth(step, CubeOwner::kCentred).at(1.0 - p)));
    }
  }
}

TEST_CASE("whoever loses the match anyway doubles at once, so that his cube is live") {
  // 2-away post-Crawford: doubling makes the game decide the match, and 1-away each is a half.
  const CubeModel model(parse_score("2-away/1-away post-crawford", own_match_equities()).stakes,
                        worth_on_average(1.0, 1.0, 0.4), 0.5);
  CHECK(model.worth(0, CubeOwner::kCentred).at(0.4) == Approx(0.4));
  CHECK(model.dead_worth(0).at(0.4) == Approx(0.2));
}

TEST_CASE("worth never falls with the chance to win, at any score, owner and life") {
  for (const char* name :
       {"money", "2-away/2-away", "3-away/5-away", "4-away/2-away", "9-away/2-away",
        "25-away/25-away", "4-away/1-away post-crawford", "3-away/1-away crawford"}) {
    const Score score = parse_score(name, own_match_equities());
    for (const double life : {0.0, 0.7, 1.0}) {
      const CubeModel model(score.stakes, worth_on_average(1.3, 1.2, 0.5), life);
      for (std::size_t step = 0; step < model.steps(); ++step) {
        for (const CubeOwner owner :
             {CubeOwner::kCentred, CubeOwner::kRoller, CubeOwner::kOpponent}) {
          const WorthLine line = model.worth(step, owner);
          INFO(name << ", life " << life << ", step " << step);
          double last = line.at(0.0);
          for (int i = 1; i <= 100; ++i) {
            const double next = line.at(i / 100.0);
            CHECK(next >= last - 1e-12);
            last = next;
          }
          const double level = line.at(0.37);
          CHECK(line.at(line.crossing(level)) == Approx(level).margin(1e-9));
        }
      }
    }
  }
}

}  // namespace sixfold
