/// A small race solved by recursion over its rolls, and short ways to rollouts for their tests.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string_view>
#include <vector>

#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/rollout.h"
#include "rules/game_result.h"
#include "rules/notation.h"

namespace sixfold {

/// Values of every position that a race can come to at money. With `noise` they are false by up to
/// that much, and both sides play by the false values; the truth under such play is known too. A
/// race always ends, since every play brings it nearer to its end.
class SmallRace final : public Evaluator {
 public:
  /// REQUIRES: `root` is a race.
  explicit SmallRace(const Position& root, double noise = 0.0) : noise_(noise) { solve(root); }

  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    return claimed(position, truth(position));
  }
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      outcomes[i] = reversed(evaluate(position_after(parent, plays[i])));
    }
  }
  /// What really happens, from the viewpoint of the side on roll.
  [[nodiscard]] OutcomeDistribution truth(const Position& position) const noexcept {
    if (const auto result = game_result(position)) return certain(*result);
    return truths_.at(key(position));
  }
  /// The same after a play, from the viewpoint of the player who makes it.
  [[nodiscard]] OutcomeDistribution truth_after(const Position& position, PlayKey play) const {
    return reversed(truth(position_after(position, play)));
  }

 private:
  using Key = std::array<std::uint64_t, 4>;

  static Key key(const Position& position) {
    const auto low = [](Packed128 bits) { return static_cast<std::uint64_t>(bits); };
    const Packed128 roller = position.roller.bits();
    const Packed128 opponent = position.opponent.bits();
    return {low(roller), low(roller >> 64), low(opponent), low(opponent >> 64)};
  }
  /// Between -1 and 1, as if at random.
  static double wobble(const Position& position) {
    std::uint64_t hash = 0;
    for (const std::uint64_t word : key(position)) {
      hash = (hash ^ word) * 0x9e3779b97f4a7c15;
      hash ^= hash >> 29;
    }
    return static_cast<double>(hash >> 11) * 0x1.0p-52 - 1.0;
  }
  [[nodiscard]] OutcomeDistribution claimed(const Position& position,
                                            OutcomeDistribution truth) const {
    if (game_over(position)) return truth;
    const double shift = noise_ * wobble(position);
    truth[1] -= 0.25 * shift;
    truth[2] -= 0.75 * shift;
    truth[3] += 0.5 * shift;
    truth[4] += 0.5 * shift;
    return truth;
  }
  OutcomeDistribution solve(const Position& position) {
    if (const auto result = game_result(position)) return certain(*result);
    if (const auto known = truths_.find(key(position)); known != truths_.end()) {
      return known->second;
    }
    OutcomeDistribution mean;
    for (const Roll roll : kRolls) {
      PlayList plays;
      generate_plays(position, roll, plays);
      OutcomeDistribution best;
      double best_worth = -4.0;
      for (const PlayKey play : plays) {
        const Position after = position_after(position, play);
        const OutcomeDistribution value = reversed(solve(after));
        const double worth = worth_of(reversed(claimed(after, reversed(value))), kMoneyWorth);
        if (worth > best_worth) {
          best = value;
          best_worth = worth;
        }
      }
      best *= roll.weight() / 36.0;
      mean += best;
    }
    return truths_[key(position)] = mean;
  }

  double noise_;
  std::map<Key, OutcomeDistribution> truths_;
};

/// A roll to be played, with all its plays.
struct Problem {
  Position position;
  std::vector<PlayKey> plays;
};

inline Problem problem_of(const Position& position, std::string_view dice) {
  PlayList plays;
  generate_plays(position, parse_roll(dice), plays);
  return {position, {plays.begin(), plays.end()}};
}

inline Problem problem_of(std::string_view position, std::string_view dice, int checkers = 15) {
  return problem_of(parse_position(position, checkers), dice);
}

/// Six plays: some close, some clearly worse.
inline Problem six_plays() {
  const Problem problem = problem_of("8 7 6 / 6 5 3", "21", 3);
  REQUIRE(problem.plays.size() > 3);
  return problem;
}

inline RolloutSettings settings_of(std::uint64_t trials, std::uint64_t seed = 1) {
  RolloutSettings settings;
  settings.trials = trials;
  settings.seed = seed;
  return settings;
}

inline RolloutResult roll_out(const TrialPlayers& players, const Problem& problem,
                              const RolloutSettings& settings, TrialRunner& runner,
                              const char* score = "money",
                              const std::optional<CubeRules>& cube = {}) {
  return roll_out(players, problem.position, problem.plays, parse_score(score, own_match_equities()), settings, runner,
                  cube);
}

/// The same on one thread.
inline RolloutResult roll_out(const TrialPlayers& players, const Problem& problem,
                              const RolloutSettings& settings, const char* score = "money",
                              const std::optional<CubeRules>& cube = {}) {
  ThreadRunner runner;
  return roll_out(players, problem, settings, runner, score, cube);
}

}  // namespace sixfold
