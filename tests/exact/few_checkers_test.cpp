// Few-checker games against a published value, plain value iteration, and themselves.
#include "exact/few_checkers.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <vector>

#include "exact/two_sided.h"
#include "oracles/plays_oracle.h"
#include "oracles/random_positions.h"
#include "rules/game_result.h"
#include "rules/notation.h"
#include "rules/plays.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr OutcomeWorth kGammonGo{-1, -1, -1, 1, 3, 3};

SolvedGame solved(int checkers, const OutcomeWorth& worth = kMoneyWorth, int threads = 2,
                  double last_change = 1e-11) {
  Workers workers(threads);
  SolvedGame::Settings settings;
  settings.checkers = checkers;
  settings.worth = worth;
  settings.last_change = last_change;
  return *SolvedGame::solve(settings, workers);
}

/// The outcomes of the best plays one roll ahead, by the oracle's plays; `others` is the game as
/// solved for the player who is on roll then.
OutcomeDistribution one_roll_ahead(const SolvedGame& others, const Position& position,
                                   const OutcomeWorth& worth) {
  OutcomeDistribution mean;
  for (const Roll roll : kRolls) {
    double best_worth = -9.0;
    OutcomeDistribution best;
    for (const Position& after : oracle::results(position, roll)) {
      const auto result = oracle::outcome(after);
      const OutcomeDistribution value =
          reversed(result ? certain(*result) : others.outcomes(after));
      if (worth_of(value, worth) > best_worth + 1e-13) {
        best_worth = worth_of(value, worth);
        best = value;
      }
    }
    best *= roll.weight() / 36.0;
    mean += best;
  }
  return mean;
}

void check_fixed_point(const SolvedGame& game, const SolvedGame& others, const OutcomeWorth& worth,
                       std::size_t every, double tolerance = 1e-9) {
  std::size_t count = 0;
  double worst = 0.0;
  game.for_each_position([&](const Position& position) {
    if (count++ % every != 0) return;
    const OutcomeDistribution ahead = one_roll_ahead(others, position, worth);
    worst = std::max(worst,
                     std::abs(worth_of(ahead, worth) - worth_of(game.outcomes(position), worth)));
  });
  INFO("worst " << worst);
  CHECK(worst < tolerance);
}

/// The outcomes of the opening roll's winner, that roll not being doubles; `after` gives those of
/// the positions he leaves, for the player on roll in them.
template <typename After>
OutcomeDistribution opening_winner(int checkers, After after) {
  OutcomeDistribution mean;
  for (const Roll roll : kRolls) {
    if (roll.is_doubles()) continue;
    OutcomeDistribution best = certain(Outcome::kLoseBackgammon);
    for (const Position& position : oracle::results(start_position(checkers), roll)) {
      const OutcomeDistribution value = reversed(after(position));
      if (worth_of(value, kMoneyWorth) > worth_of(best, kMoneyWorth)) best = value;
    }
    best *= 1.0 / 15.0;
    mean += best;
  }
  return mean;
}

double gammon_games(const OutcomeDistribution& outcomes) {
  return outcomes.win_gammon_or_better_probability() + outcomes.lose_gammon_or_worse_probability();
}

/// A solved game played otherwise: of plays of equal worth (to 1e-9) always one with the most (+1)
/// or the fewest (-1) games that end in a gammon.
class EqualPlays {
 public:
  EqualPlays(const SolvedGame& game, double sign)
      : index_(kBar, game.checkers()), values_(std::size_t{index_.size()} * index_.size()) {
    game.for_each_position([&](const Position& p) {
      positions_.push_back(p);
      values_[place(p)] = game.outcomes(p);
    });
    chosen_.resize(positions_.size());
    over_positions([&](std::size_t i) { choose(i, sign); });
  }

  /// Sweeps until no value changes by more than 1e-8; returns the opening winner's outcomes.
  OutcomeDistribution settle() {
    std::vector<OutcomeDistribution> fresh(positions_.size());
    double change = 1.0;
    while (change > 1e-8) {
      over_positions([&](std::size_t i) {
        fresh[i] = {};
        for (const Roll roll : kRolls) {
          const auto r = static_cast<std::size_t>(roll.index());
          OutcomeDistribution value = after(positions_[i], chosen_[i][r]);
          value *= roll.weight() / 36.0;
          fresh[i] += value;
        }
      });
      change = 0.0;
      for (std::size_t i = 0; i < positions_.size(); ++i) {
        OutcomeDistribution& value = values_[place(positions_[i])];
        change = std::max(change, std::abs(gammon_games(fresh[i]) - gammon_games(value)));
        value = fresh[i];
      }
    }
    return opening_winner(index_.checkers(), [&](const Position& p) { return values_[place(p)]; });
  }

 private:
  template <typename Body>
  void over_positions(Body body) {
    constexpr std::size_t kChunk = 4096;
    workers_.for_each((positions_.size() + kChunk - 1) / kChunk, [&](std::size_t chunk) {
      const std::size_t end = std::min(positions_.size(), (chunk + 1) * kChunk);
      for (std::size_t i = chunk * kChunk; i < end; ++i) body(i);
    });
  }
  [[nodiscard]] std::size_t place(const Position& position) const {
    return std::size_t{index_.number(position.roller)} * index_.size() +
           index_.number(position.opponent);
  }
  [[nodiscard]] OutcomeDistribution after(const Position& position, PlayKey play) const {
    const Position next = position_after(position, play);
    const auto result = game_result(next);
    return reversed(result ? certain(*result) : values_[place(next)]);
  }
  void choose(std::size_t i, double sign) {
    PlayList plays;
    for (const Roll roll : kRolls) {
      generate_plays(positions_[i], roll, plays);
      double best = -9.0;
      for (const PlayKey play : plays) {
        best = std::max(best, worth_of(after(positions_[i], play), kMoneyWorth));
      }
      double most = -9.0;
      for (const PlayKey play : plays) {
        const OutcomeDistribution outcomes = after(positions_[i], play);
        if (worth_of(outcomes, kMoneyWorth) < best - 1e-9) continue;
        if (sign * gammon_games(outcomes) <= most) continue;
        most = sign * gammon_games(outcomes);
        chosen_[i][static_cast<std::size_t>(roll.index())] = play;
      }
    }
  }

  SideIndex index_;
  Workers workers_{available_threads()};
  std::vector<Position> positions_;
  std::vector<OutcomeDistribution> values_;
  std::vector<std::array<PlayKey, kRollCount>> chosen_;
};

}  // namespace

TEST_CASE("A game of one checker a side equals value iteration by the oracle's plays") {
  const SolvedGame game = solved(1);
  std::map<std::pair<int, int>, OutcomeDistribution> values;
  const auto position_of = [](int roller, int opponent) {
    Position position;
    position.roller.add(roller, 1);
    position.opponent.add(opponent, 1);
    return position;
  };
  const auto key = [](const Position& position) {
    return std::pair(position.roller.rearmost(), position.opponent.rearmost());
  };
  std::vector<Position> positions;
  for (int roller = 1; roller <= kBar; ++roller) {
    for (int opponent = 1; opponent <= kBar; ++opponent) {
      if (roller != kBar && opponent == mirrored(roller)) continue;
      positions.push_back(position_of(roller, opponent));
      values[{roller, opponent}] = {};
    }
  }
  CHECK(game.positions() == positions.size());
  for (int sweep = 0; sweep < 300; ++sweep) {
    for (const Position& position : positions) {
      OutcomeDistribution mean;
      for (const Roll roll : kRolls) {
        OutcomeDistribution best;
        double best_worth = -9.0;
        for (const Position& after : oracle::results(position, roll)) {
          const auto result = oracle::outcome(after);
          const auto value = reversed(result ? certain(*result) : values[key(after)]);
          if (worth_of(value, kMoneyWorth) > best_worth) {
            best = value;
            best_worth = worth_of(value, kMoneyWorth);
          }
        }
        best *= roll.weight() / 36.0;
        mean += best;
      }
      values[key(position)] = mean;
    }
  }
  for (const Position& position : positions) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      REQUIRE(game.outcomes(position)[o] == Approx(values[key(position)][o]).margin(1e-9));
    }
  }
}

TEST_CASE("In a solved game of two checkers no play one roll ahead is better, at any position") {
  const SolvedGame game = solved(2);
  // C(27, 2)^2 pairs of sides less those that share a point and finished games, counted here.
  std::size_t count = 0;
  const SideIndex sides(kBar, 2);
  for (std::uint32_t a = 1; a < sides.size(); ++a) {
    for (std::uint32_t b = 1; b < sides.size(); ++b) {
      bool shared = false;
      for (int point = 1; point <= kPoints; ++point) {
        shared = shared || (sides.side(a)[point] > 0 && sides.side(b)[mirrored(point)] > 0);
      }
      count += shared ? 0 : 1;
    }
  }
  CHECK(game.positions() == count);
  check_fixed_point(game, game, kMoneyWorth, 17);
}

TEST_CASE("At a score that is not the same for both, each side plays for its own") {
  const SolvedGame go = solved(2, kGammonGo);
  const SolvedGame save = solved(2, opponents_worth(kGammonGo));
  check_fixed_point(go, save, kGammonGo, 61);
  check_fixed_point(save, go, opponents_worth(kGammonGo), 61);
}

TEST_CASE("Outcomes sum to 1, and the solved bear-offs of two checkers are those of the table") {
  const SolvedGame game = solved(2);
  Workers workers(2);
  const TwoSidedTable table(workers);
  game.for_each_position([&](const Position& position) {
    const OutcomeDistribution& outcomes = game.outcomes(position);
    double sum = 0.0;
    for (const double p : outcomes.probability) sum += p;
    REQUIRE(sum == Approx(1.0).margin(1e-10));
    if (!table.holds(position)) return;
    REQUIRE(outcomes.win_probability() ==
            Approx(table.entry(position).win_probability).margin(1e-10));
  });
}

TEST_CASE("A solved game is the same to the bit on any number of threads") {
  const SolvedGame one = solved(2, kMoneyWorth, 1);
  const SolvedGame three = solved(2, kMoneyWorth, 3);
  one.for_each_position([&](const Position& position) {
    REQUIRE(one.outcomes(position) == three.outcomes(position));
  });
}

TEST_CASE("Solving stops when it is told to") {
  Workers workers(1);
  const std::atomic<bool> stop{true};
  SolvedGame::Settings settings;
  settings.checkers = 2;
  settings.stop = &stop;
  CHECK_FALSE(SolvedGame::solve(settings, workers));
}

// About a quarter of an hour, so it is run by hand: exact_test "[long]"
TEST_CASE("The game of three checkers has the published value", "[.][long]") {
  const SolvedGame game = solved(3, kMoneyWorth, available_threads(), 1e-9);
  CHECK(game.positions() == 7'953'353);
  // The winner of the opening roll: Keith T., Hyper Fun, 2018.
  const auto winner =
      opening_winner(3, [&](const Position& position) { return game.outcomes(position); });
  CHECK(worth_of(winner, kMoneyWorth) == Approx(.0836795444708631).margin(1e-8));
  CHECK(winner.win_probability() == Approx(.52118).margin(5e-6));
  CHECK(winner[Outcome::kWinBackgammon] == Approx(.02082).margin(5e-6));
  CHECK(winner[Outcome::kLoseBackgammon] == Approx(.01726).margin(5e-6));
  check_fixed_point(game, game, kMoneyWorth, 2503, 1e-8);
  // Some plays are worth exactly the same and lead to more gammons won and lost. Which of them are
  // chosen decides the fifth digit of gammons; what is published lies between the extremes.
  const OutcomeDistribution fewest = EqualPlays(game, -1.0).settle();
  const OutcomeDistribution most = EqualPlays(game, 1.0).settle();
  for (const OutcomeDistribution& other : {fewest, most}) {
    CHECK(worth_of(other, kMoneyWorth) == Approx(.0836795444708631).margin(1e-7));
  }
  CHECK(fewest.win_gammon_or_better_probability() < .31021);
  CHECK(most.win_gammon_or_better_probability() > .31021);
  CHECK(fewest.lose_gammon_or_worse_probability() < .27245);
  CHECK(most.lose_gammon_or_worse_probability() > .27245);
  CHECK(gammon_games(most) - gammon_games(fewest) < 1e-4);
  CHECK(gammon_games(winner) > gammon_games(fewest));
  CHECK(gammon_games(winner) < gammon_games(most));
}

}  // namespace sixfold
