/// How often intervals of rollouts cover exactly known values.
///
/// The players choose by solved games and tables, so that what a rollout estimates is known; the
/// luck of the rolls is measured by an evaluator that is wrong on purpose. Used by the tests with
/// fixed seeds and by bench/coverage with more of them.
#pragma once

#include <string>
#include <vector>

#include "equity/score.h"
#include "exact/exact_tables.h"
#include "rollout/rollout.h"
#include "rules/notation.h"

namespace sixfold {

/// Answers every position from tables. REQUIRES: they hold all positions that are asked for.
class ExactPlayer final : public Evaluator {
 public:
  explicit ExactPlayer(ExactTables tables) : tables_(std::move(tables)) {}
  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    return *tables_.exact(position);
  }
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      outcomes[i] = reversed(evaluate(position_after(parent, plays[i])));
    }
  }

 private:
  ExactTables tables_;
};

/// Wrong on purpose: a third of each value is made up, the same for the same position.
class WrongEvaluator final : public Evaluator {
 public:
  explicit WrongEvaluator(const Evaluator& truth) : truth_(truth) {}
  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    return distorted(position, truth_.evaluate(position));
  }
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    truth_.evaluate_children(parent, plays, outcomes);
    for (std::size_t i = 0; i < plays.size(); ++i) {
      const Position after = position_after(parent, plays[i]);
      outcomes[i] = reversed(distorted(after, reversed(outcomes[i])));
    }
  }

 private:
  static OutcomeDistribution distorted(const Position& position, OutcomeDistribution truth) {
    if (game_over(position)) return truth;
    std::uint64_t hash = 0x9e3779b97f4a7c15;
    for (const Packed128 bits : {position.roller.bits(), position.opponent.bits()}) {
      for (const auto word :
           {static_cast<std::uint64_t>(bits), static_cast<std::uint64_t>(bits >> 64)}) {
        hash = (hash ^ word) * 0x2545f4914f6cdd1d;
        hash ^= hash >> 29;
      }
    }
    OutcomeDistribution made_up;
    double sum = 0.0;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      if (truth[o] == 0.0) continue;
      made_up[o] = 0.01 + static_cast<double>(hash >> (8 * o) & 255u);
      sum += made_up[o];
    }
    made_up *= 1.0 / (3.0 * sum);
    truth *= 2.0 / 3.0;
    truth += made_up;
    return truth;
  }

  const Evaluator& truth_;
};

/// Two plays of a roll, and the truth about them.
struct CoverageProblem {
  std::string name;
  Position position;
  std::vector<PlayKey> plays;
  std::vector<OutcomeDistribution> truths;  ///< For the player who makes the play.
  std::vector<double> equities;             ///< At money.
};

/// `plays` in standard notation. REQUIRES: the player knows all positions of the game.
inline CoverageProblem coverage_problem(const std::string& name, const Evaluator& player,
                                        const Position& position, std::string_view dice,
                                        std::initializer_list<const char*> plays) {
  CoverageProblem problem{name, position, {}, {}, {}};
  const OutcomeWorth money = parse_score("money").worth;
  for (const char* text : plays) {
    const PlayKey play = parse_play(position, parse_roll(dice), text);
    problem.plays.push_back(play);
    problem.truths.push_back(reversed(player.evaluate(position_after(position, play))));
    problem.equities.push_back(worth_of(problem.truths.back(), money));
  }
  return problem;
}

/// How many of so many intervals cover; outcomes with a probability over .01 alone are looked at.
struct Coverage {
  std::string what;          ///< "equity", "cost", or an outcome with its probability
  double probability = 0.0;  ///< Of the outcome; 0 for equity and cost.
  int rollouts = 0;
  int covering = 0;
};

struct CoverageSettings {
  RolloutSettings rollout;
  int rollouts = 400;
  std::uint64_t first_seed = 1;
};

/// Rolls out a problem's plays with one seed after another. The equity and outcomes are those of
/// the first play.
inline std::vector<Coverage> measure_coverage(const CoverageProblem& problem,
                                              const Evaluator& player, const Evaluator& baseline,
                                              const CoverageSettings& settings) {
  static constexpr const char* kNames[] = {"lose bg", "lose g", "lose", "win", "win g", "win bg"};
  constexpr double kRare = 0.01;
  const Score money = parse_score("money");
  std::vector<Coverage> result{{"equity", 0.0, 0, 0}, {"cost", 0.0, 0, 0}};
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    const double probability = problem.truths[0][o];
    if (probability > kRare && probability < 1.0) result.push_back({kNames[o], probability, 0, 0});
  }
  const auto count = [](Coverage& coverage, const Estimate& estimate, double truth) {
    ++coverage.rollouts;
    // The last term lets exact results pass that are rounded in other ways.
    if (std::abs(estimate.mean - truth) <= estimate.half_width + 1e-9) ++coverage.covering;
  };
  for (int i = 0; i < settings.rollouts; ++i) {
    RolloutSettings one = settings.rollout;
    one.seed = settings.first_seed + static_cast<std::uint64_t>(i);
    one.player = &player;
    one.known_ends = false;
    const RolloutResult rolled = roll_out(baseline, problem.position, problem.plays, money, one);
    for (std::size_t place = 0; place < rolled.plays.size(); ++place) {
      const RolledPlay& play = rolled.plays[place];
      const bool first = play.play == problem.plays[0];
      if (place == 1)
        count(result[1], play.cost,
              problem.equities[first ? 1 : 0] - problem.equities[first ? 0 : 1]);
      if (!first) continue;
      count(result[0], play.equity, problem.equities[0]);
      for (std::size_t c = 2; c < result.size(); ++c) {
        const auto o = static_cast<std::size_t>(
            std::find(std::begin(kNames), std::end(kNames), result[c].what) - std::begin(kNames));
        count(result[c], play.outcomes[o], problem.truths[0][o]);
      }
    }
  }
  return result;
}

}  // namespace sixfold
