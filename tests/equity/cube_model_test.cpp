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

const std::vector<Stake>& money_stakes() {
  static const Score kMoney = money_score();
  return kMoney.stakes;
}

CubeModel money_model(double win, double loss, const CubeLives& lives) {
  return {money_stakes(), worth_on_average(win, loss, 0.5), lives, true};
}
CubeModel money_model(double win, double loss, double life) {
  return money_model(win, loss, equal_lives(life));
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

TEST_CASE("the points of an unlimited cube are those of one that may be turned fifteen times") {
  for (const double win : {1.0, 1.2, 1.6}) {
    for (const double loss : {1.0, 1.4}) {
      const OutcomeDistribution outcomes = worth_on_average(win, loss, 0.5);
      const CubeModel limited(money_stakes(), outcomes, equal_lives(0.6));
      const CubeModel unlimited = money_model(win, loss, 0.6);
      for (const CubeOwner owner :
           {CubeOwner::kCentred, CubeOwner::kRoller, CubeOwner::kOpponent}) {
        for (double p = 0.0; p <= 1.0; p += 0.1) {
          CHECK(unlimited.worth(1, owner).at(p) ==
                Approx(limited.worth(1, owner).at(p)).margin(1e-5));
        }
      }
    }
  }
}

TEST_CASE("each side has its own share of what a live cube changes") {
  const CubeLives lives{0.9, 0.3, 0.8, 0.4};
  const CubeModel model = money_model(1.2, 1.3, lives);
  const CubeModel live = money_model(1.2, 1.3, 1.0);
  const auto added = [](const CubeModel& of, CubeOwner owner, double p) {
    return of.worth(0, owner).at(p) - of.dead_worth(0).at(p);
  };
  for (double p = 0.05; p < 1.0; p += 0.1) {
    CHECK(added(model, CubeOwner::kRoller, p) ==
          Approx(0.9 * added(live, CubeOwner::kRoller, p)).margin(1e-12));
    CHECK(added(model, CubeOwner::kOpponent, p) ==
          Approx(0.3 * added(live, CubeOwner::kOpponent, p)).margin(1e-12));
  }
  // In the middle the roller's share counts at his cash point, the opponent's at the take point.
  const WorthLine line = model.live_worth(0, CubeOwner::kCentred);
  CHECK(added(model, CubeOwner::kCentred, line.chance[2]) ==
        Approx(0.8 * added(live, CubeOwner::kCentred, line.chance[2])));
  CHECK(added(model, CubeOwner::kCentred, line.chance[1]) ==
        Approx(0.4 * added(live, CubeOwner::kCentred, line.chance[1])));
}

TEST_CASE("worth is a dead cube's and what passes change") {
  for (const char* name : {"money", "2-away/2-away", "5-away/3-away"}) {
    const Score score = parse_score(name, own_match_equities());
    const CubeModel model(score.stakes, worth_on_average(1.3, 1.2, 0.5), {0.9, 0.4, 0.7, 0.6},
                          !score.match);
    for (const CubeOwner owner : {CubeOwner::kCentred, CubeOwner::kRoller, CubeOwner::kOpponent}) {
      const WorthLine line = model.worth(0, owner);
      const WorthLine dead = model.dead_worth(0);
      const Stake& stake = model.stake(0);
      for (double p = 0.0; p <= 1.0; p += 0.03125) {
        const WorthLine::Passes passes = line.passes(p);
        const double changed = passes.lost * (stake.pass_lose - dead.at(line.chance[1])) +
                               passes.won * (stake.pass_win - dead.at(line.chance[2]));
        CHECK(line.at(p) == Approx(dead.at(p) + changed).margin(1e-12));
      }
    }
  }
}

TEST_CASE("a cube in the middle that one side alone may turn is as good as his") {
  const Score score = parse_score("4-away/1-away post-crawford", own_match_equities());
  const CubeLives lives{0.9, 0.3, 0.1, 0.2};
  const CubeModel model(score.stakes, worth_on_average(1.2, 1.3, 0.5), lives);
  for (double p = 0.0; p <= 1.0; p += 0.125) {
    CHECK(model.worth(0, CubeOwner::kCentred).at(p) == model.worth(0, CubeOwner::kRoller).at(p));
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
  const CubeLives lives{0.6, 0.7, 0.5, 0.8};
  const CubeModel model(score.stakes, outcomes, lives);
  const CubeModel mirrored(other.stakes, reversed(outcomes), reversed(lives));
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
  const Score score = parse_score("2-away/1-away post-crawford", own_match_equities());
  const CubeModel model(score.stakes, worth_on_average(1.0, 1.0, 0.4), equal_lives(0.5));
  CHECK(model.worth(0, CubeOwner::kCentred).at(0.4) == Approx(0.4));
  CHECK(model.dead_worth(0).at(0.4) == Approx(0.2));
}

TEST_CASE("worth never falls with the chance to win, at any score, owner and life") {
  for (const char* name :
       {"money", "2-away/2-away", "3-away/5-away", "4-away/2-away", "9-away/2-away",
        "25-away/25-away", "4-away/1-away post-crawford", "3-away/1-away crawford"}) {
    const Score score = parse_score(name, own_match_equities());
    for (const CubeLives& lives : {equal_lives(0.0), equal_lives(0.7), equal_lives(1.0),
                                   CubeLives{1.0, 0.0, 0.0, 1.0}, CubeLives{0.2, 0.9, 0.8, 0.1}}) {
      const CubeModel model(score.stakes, worth_on_average(1.3, 1.2, 0.5), lives);
      for (std::size_t step = 0; step < model.steps(); ++step) {
        for (const CubeOwner owner :
             {CubeOwner::kCentred, CubeOwner::kRoller, CubeOwner::kOpponent}) {
          const WorthLine line = model.worth(step, owner);
          INFO(name << ", life " << lives.own << ", step " << step);
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
