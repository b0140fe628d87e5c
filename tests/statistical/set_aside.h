/// What rollouts tell of plays that were set aside, and of the others, against exactly known costs.
///
/// Every legal play of a roll is rolled out, by players who play exactly right; luck is read from
/// what is wrong on purpose. Used by the tests with fixed seeds and by bench/coverage with more.
#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "statistical/coverage.h"

namespace sixfold {

/// A mean of values that come in groups: the groups are independent, values of one group are not.
class GroupedMean {
 public:
  void add_group(double sum, double count) {
    sum_ += sum;
    count_ += count;
    squares_ += sum * sum;
    products_ += sum * count;
    square_counts_ += count * count;
  }
  GroupedMean& operator+=(const GroupedMean& other) {
    sum_ += other.sum_;
    count_ += other.count_;
    squares_ += other.squares_;
    products_ += other.products_;
    square_counts_ += other.square_counts_;
    return *this;
  }
  [[nodiscard]] double count() const { return count_; }
  [[nodiscard]] double mean() const { return sum_ / count_; }
  /// Of a ratio of two sums, from the groups' spread around it.
  [[nodiscard]] double standard_error() const {
    const double spread = squares_ - 2.0 * mean() * products_ + mean() * mean() * square_counts_;
    return std::sqrt(std::max(spread, 0.0)) / count_;
  }

 private:
  double sum_ = 0.0;
  double count_ = 0.0;
  double squares_ = 0.0;
  double products_ = 0.0;
  double square_counts_ = 0.0;
};

/// What was told of costs, in groups of a rollout each.
struct ToldCosts {
  /// 1 where the bound or the interval holds the true difference of the told best and the play.
  GroupedMean holding;
  GroupedMean error;  ///< The mean cost less that difference.
  /// The same but for the luck of whichever play is told to be the best: of plays set aside, how
  /// much worse than they are they are told to be; of others, the cost of the truly worse of the
  /// two against the truly better, less that difference.
  GroupedMean own_error;
};

struct AsideResult {
  ToldCosts aside;   ///< Plays that are told as a bound.
  ToldCosts others;  ///< All others but the best.
  double trials = 0.0;
  int rollouts = 0;

  AsideResult& operator+=(const AsideResult& other) {
    for (const auto part : {&AsideResult::aside, &AsideResult::others}) {
      for (const auto what : {&ToldCosts::holding, &ToldCosts::error, &ToldCosts::own_error}) {
        this->*part.*what += other.*part.*what;
      }
    }
    trials += other.trials;
    rollouts += other.rollouts;
    return *this;
  }
};

/// All plays of a roll, the best first. REQUIRES: the player knows all positions of the game.
inline CoverageProblem problem_of_all_plays(const Evaluator& player, const Position& position,
                                            std::string_view dice) {
  CoverageProblem problem;
  problem.name = position_text(position) + ", " + std::string(dice);
  problem.position = position;
  PlayList plays;
  generate_plays(position, parse_roll(dice), plays);
  const auto truth = [&](PlayKey play) {
    return reversed(player.evaluate(position_after(position, play)));
  };
  problem.plays.assign(plays.begin(), plays.end());
  std::stable_sort(problem.plays.begin(), problem.plays.end(), [&](PlayKey a, PlayKey b) {
    return worth_of(truth(a), kMoneyWorth) > worth_of(truth(b), kMoneyWorth);
  });
  for (const PlayKey play : problem.plays) {
    problem.truths.push_back(truth(play));
    problem.equities.push_back(worth_of(problem.truths.back(), kMoneyWorth));
  }
  return problem;
}

/// Rolls of games of two checkers a side, in contact, with plays from nearly as good as the best to
/// far behind it. REQUIRES: the player knows them.
inline std::vector<CoverageProblem> set_aside_problems(const ExactPlayer& player) {
  // Costs, exactly, of the plays behind the best:
  constexpr std::array kDecisions{
      std::pair("16 5 / 15 2", "21"),    // .057 .067 .087
      std::pair("19 11 / 17 16", "61"),  // .017 .706 .799
      std::pair("23 21 / 24 10", "43"),  // .073 .120 .133
      std::pair("23 15 / 23 14", "64"),  // .382 .465 .640 .680
      std::pair("24 4 / 10 3", "11"),    // .039 .051 1.547
      std::pair("24 14 / 22 7", "54"),   // .031 .033 .143
      std::pair("20 10 / 22 6", "11"),   // .274 .293 .294 1.105
      std::pair("24 15 / 14 12", "53"),  // .019 .134 .379
      std::pair("22 7 / 24 20", "42"),   // .238 .400 .487 .567
      std::pair("21 14 / 13 9", "32"),   // .046 .129 .880 1.042
  };
  std::vector<CoverageProblem> problems;
  for (const auto& [position, dice] : kDecisions) {
    problems.push_back(problem_of_all_plays(player, parse_position(position, 2), dice));
  }
  return problems;
}

struct AsideSettings {
  std::uint64_t trials = 72;  ///< The floor.
  double half_width = 0.05;
  CoverageLuck luck = CoverageLuck::kWrong;
  int rollouts = 400;
  std::uint64_t first_seed = 1;
};

/// Counts what one rollout tells.
inline void count_told(const CoverageProblem& problem, const std::vector<RolledPlay>& plays,
                       AsideResult& result) {
  struct Sums {
    double count = 0.0;
    double holding = 0.0;
    double error = 0.0;
    double own_error = 0.0;
  };
  // Results that are exact are rounded in other ways.
  constexpr double kRounding = 1e-9;
  const auto rank = [&](const RolledPlay& play) {
    return static_cast<std::size_t>(
        std::find(problem.plays.begin(), problem.plays.end(), play.play) - problem.plays.begin());
  };
  const std::size_t best = rank(plays.front());
  std::array<Sums, 2> sums;
  for (const RolledPlay& play : plays) {
    result.trials += static_cast<double>(play.trials);
    if (&play == &plays.front()) continue;
    const double equity = problem.equities[rank(play)];
    const double truth = problem.equities[best] - equity;
    const double error = play.cost.mean - truth;
    const double oriented = best < rank(play) ? error : -error;
    Sums& its = sums[play.at_least ? 0 : 1];
    ++its.count;
    its.holding += play.at_least ? truth >= *play.at_least - kRounding
                                 : std::abs(error) <= play.cost.half_width + kRounding;
    its.error += error;
    its.own_error += play.at_least ? equity - play.equity.mean : oriented;
  }
  for (std::size_t i = 0; i < sums.size(); ++i) {
    ToldCosts& told = i == 0 ? result.aside : result.others;
    told.holding.add_group(sums[i].holding, sums[i].count);
    told.error.add_group(sums[i].error, sums[i].count);
    told.own_error.add_group(sums[i].own_error, sums[i].count);
  }
  ++result.rollouts;
}

/// Rolls out all plays of a problem with one seed after another.
inline AsideResult measure_set_aside(const CoverageProblem& problem, const CoveragePlayers& players,
                                     const AsideSettings& settings) {
  RolloutSettings rollout;
  rollout.trials = settings.trials;
  rollout.half_width = settings.half_width;
  rollout.most_trials = 20 * settings.trials;
  rollout.luck =
      settings.luck == CoverageLuck::kNone ? LuckControl::kNone : LuckControl::kEstimated;
  rollout.known_ends = false;
  const TrialPlayers those{players.wrong, players.luck(settings.luck), &players.exact};
  const auto cube = problem.cube ? std::optional(*problem.cube) : std::nullopt;
  AsideResult result;
  ThreadRunner runner;
  for (int i = 0; i < settings.rollouts; ++i) {
    rollout.seed = settings.first_seed + static_cast<std::uint64_t>(i);
    const RolloutResult rolled =
        roll_out(those, problem.position, problem.plays, money_score(), rollout, runner, cube);
    count_told(problem, rolled.plays, result);
  }
  return result;
}

}  // namespace sixfold
