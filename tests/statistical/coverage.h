/// How often intervals of rollouts cover exactly known values.
///
/// The players choose by solved games and tables, so that what a rollout estimates is known; the
/// luck of the rolls is measured by an evaluator that is wrong on purpose. Used by the tests with
/// fixed seeds and by bench/coverage with more of them.
#pragma once

#include <oneapi/tbb/enumerable_thread_specific.h>

#include <array>
#include <bit>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "equity/score.h"
#include "exact/exact_tables.h"
#include "rollout/rollout.h"
#include "rules/game_result.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "statistical/cube_truth.h"
#include "statistical/position_memo.h"

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
  [[nodiscard]] const ExactTables& tables() const { return tables_; }

 private:
  ExactTables tables_;
};

/// A player who knows games of two checkers and bear-offs of six.
inline ExactPlayer coverage_player(Workers& workers) {
  TableCache cache;
  ExactTables tables = ExactTables::bear_offs(kHomePoints, workers, cache);
  SolvedGame::Settings two;
  two.checkers = 2;
  tables.game = std::make_shared<SolvedGame>(*SolvedGame::solve(two, workers));
  return ExactPlayer(std::move(tables));
}

/// The same, made once.
inline const ExactPlayer& exact_player() {
  static const ExactPlayer player = [] {
    Workers workers(available_threads());
    return coverage_player(workers);
  }();
  return player;
}

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
    const std::uint64_t hash = position_hash(position);
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

/// Knows nothing: every outcome that the rules allow is equally likely.
class IgnorantEvaluator final : public Evaluator {
 public:
  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    const unsigned possible = possible_outcomes(position);
    OutcomeDistribution outcomes;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      if ((possible >> o & 1u) != 0) outcomes[o] = 1.0 / std::popcount(possible);
    }
    return outcomes;
  }
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      outcomes[i] = reversed(evaluate(position_after(parent, plays[i])));
    }
  }
};

/// Positions that a thread remembers: more than a game of two checkers has.
inline constexpr std::size_t kRemembered = std::size_t{1} << 17;

/// Plays by an evaluator's values at money, and remembers the plays chosen.
class RememberingPlayer final : public Player {
 public:
  explicit RememberingPlayer(const Evaluator& evaluator) : player_(evaluator) {}
  [[nodiscard]] ChosenPlay decide(const Position& position, Roll roll, const PlayWorth& worth,
                                  ChoiceScratch& scratch) const noexcept override {
    auto& play = memos_.local().at(position)[static_cast<std::size_t>(roll.index())];
    if (!play) play = player_.decide(position, roll, worth.outcomes, scratch).play;
    return {*play};
  }
  [[nodiscard]] std::optional<OutcomeDistribution> known(
      const Position& position) const noexcept override {
    return player_.known(position);
  }

 private:
  using Memo = PositionMemo<std::array<std::optional<PlayKey>, kRollCount>>;
  EvaluatorPlayer player_;
  mutable oneapi::tbb::enumerable_thread_specific<Memo> memos_{kRemembered};
};

/// Full control at money that remembers the best plays of positions.
class RememberingControl final : public LuckSource {
 public:
  explicit RememberingControl(const Evaluator& evaluator) : evaluator_(evaluator) {}
  [[nodiscard]] Luck luck(const Position& position, Roll roll, const PlayWorth& worth,
                          ChoiceScratch& scratch) const noexcept override {
    auto& plays = memos_.local().at(position);
    if (!plays) plays = best_plays(evaluator_, position, worth.outcomes, scratch);
    return luck_among(*plays, roll);
  }

 private:
  using Memo = PositionMemo<std::optional<BestPlays>>;
  const Evaluator& evaluator_;
  mutable oneapi::tbb::enumerable_thread_specific<Memo> memos_{kRemembered};
};

/// Two plays of a roll, and the truth about them.
struct CoverageProblem {
  std::string name;
  Position position;
  std::vector<PlayKey> plays;
  std::vector<OutcomeDistribution> truths;  ///< For the player who makes the play.
  std::vector<double> equities;             ///< At money.
  double spread = 1.0;                      ///< A plausible half-width of the cost at 36 trials.
  /// On common dice most games end alike after both plays: a cost rests on few trials.
  bool rarely_differ = false;
  std::shared_ptr<const CubeRules> cube;  ///< Null: left out.
  std::map<int, double> points;           ///< Shares of games, with a cube, after the first play.
};

/// `plays` in standard notation. REQUIRES: the player knows all positions of the game.
inline CoverageProblem coverage_problem(const std::string& name, const Evaluator& player,
                                        const Position& position, std::string_view dice,
                                        std::initializer_list<const char*> plays, double spread,
                                        bool rarely_differ) {
  CoverageProblem problem;
  problem.name = name;
  problem.position = position;
  problem.spread = spread;
  problem.rarely_differ = rarely_differ;
  for (const char* text : plays) {
    const PlayKey play = parse_play(position, parse_roll(dice), text);
    problem.plays.push_back(play);
    problem.truths.push_back(reversed(player.evaluate(position_after(position, play))));
    problem.equities.push_back(worth_of(problem.truths.back(), kMoneyWorth));
  }
  return problem;
}

/// The same with the cube, in a bear-off of the two-sided table.
inline CoverageProblem with_cube(CoverageProblem problem, const std::string& name,
                                 std::string_view cube,
                                 const std::shared_ptr<const TwoSidedTable>& table) {
  problem.name = name;
  problem.cube = std::make_shared<CubeRules>(money_score(), parse_cube(cube), MoneyRules{}, table);
  const CubeOwner owner = problem.cube->cube().owner;
  CubeTruth truth(*table);
  problem.equities.clear();
  for (const PlayKey play : problem.plays) {
    const CubeResults results =
        truth.left(position_after(problem.position, play),
                   owner == CubeOwner::kCentred  ? CubeTruth::Owner::kCentred
                   : owner == CubeOwner::kRoller ? CubeTruth::Owner::kMine
                                                 : CubeTruth::Owner::kTheirs,
                   0);
    problem.equities.push_back(worth_of(results, problem.cube->worth()));
    if (problem.equities.size() > 1) continue;
    for (std::size_t k = 0; k < kCubeValues; ++k) {
      for (std::size_t i = 0; i < kCubeEnds; ++i) {
        problem.points[problem.cube->points(k, i)] += results.at[k][i];
      }
    }
  }
  return problem;
}

/// Full contact with gammons and backgammons, a bear-off, a race with rare gammons, and the
/// bear-off with the cube. REQUIRES: the player knows them all.
inline std::vector<CoverageProblem> coverage_problems(const ExactPlayer& player) {
  std::vector<CoverageProblem> problems{
      coverage_problem("contact", player, start_position(2), "41", {"24/20 23/22", "24/23 23/19"},
                       0.6, false),
      coverage_problem("bear-off", player, parse_position("6 5 3x2 / 6x2 4 2"), "21",
                       {"3/off", "6/4 3/2"}, 0.15, true),
      coverage_problem("race", player, parse_position("7 5 / 12 9", 2), "21", {"7/6 5/3", "7/4"},
                       0.15, true)};
  problems.push_back(with_cube(problems[1], "cube", "centred", player.tables().two_sided));
  return problems;
}

/// Where luck is read from: nowhere; the best plays of an evaluator that is wrong, or that knows
/// nothing; luck networks whose weights are random.
enum class CoverageLuck : std::uint8_t { kNone, kWrong, kIgnorant, kNetwork };

/// A way to roll out.
struct CoverageMethod {
  std::string name;
  bool stratified = false;
  CoverageLuck luck = CoverageLuck::kNone;
  double half_width = 0.0;  ///< At 36 trials; falls with the root of more.
};

inline const std::vector<CoverageMethod> kCoverageMethods{
    {"plain", false, CoverageLuck::kNone, 0.0},
    {"stratified", true, CoverageLuck::kNone, 0.0},
    {"luck", false, CoverageLuck::kWrong, 0.0},
    {"stratified, luck", true, CoverageLuck::kWrong, 0.0},
    {"ignorant luck", true, CoverageLuck::kIgnorant, 0.0},
    {"luck networks", true, CoverageLuck::kNetwork, 0.0},
    {"half-width", true, CoverageLuck::kWrong, 0.75},
    {"half-width, networks", true, CoverageLuck::kNetwork, 0.75},
    {"half-width, plain", false, CoverageLuck::kNone, 0.75}};

/// Luck networks that know nothing, but say much: they add a variance of their own.
inline LuckPair random_luck_networks() {
  std::mt19937 random(20261125);
  const auto network = [&] {
    LuckNetwork made = zero_luck_network(64, 64);
    const auto fill = [&](std::vector<float>& values, float middle, float range) {
      std::uniform_real_distribution<float> uniform(middle - range, middle + range);
      for (float& value : values) value = uniform(random);
    };
    fill(made.first, 0.0f, 0.07f);
    fill(made.first_bias, 0.3f, 0.1f);
    fill(made.facts, 0.0f, 0.2f);
    fill(made.gate_weights, 0.0f, 0.1f);
    fill(made.gate_bias, 0.5f, 0.1f);
    fill(made.outcomes, 0.0f, 0.05f);
    return made;
  };
  return {network(), network()};
}

/// How many of so many intervals cover; outcomes with a probability over .01 alone are looked at.
struct Coverage {
  std::string what;          ///< "equity", "cost", or the outcome's name
  double probability = 0.0;  ///< Of the outcome; 0 for equity and cost.
  std::size_t outcome = 0;   ///< Which it is.
  int points = 0;            ///< Which they are.
  int rollouts = 0;
  int covering = 0;
};

struct CoverageSettings {
  std::uint64_t trials = 36;
  double confidence = 0.95;
  int rollouts = 400;
  std::uint64_t first_seed = 1;
};

struct CoverageResult {
  std::vector<Coverage> intervals;
  double mean_trials = 0.0;  ///< Of the first play.
};

inline RolloutSettings coverage_rollout(const CoverageProblem& problem,
                                        const CoverageMethod& method,
                                        const CoverageSettings& settings) {
  RolloutSettings rollout;
  rollout.trials = settings.trials;
  rollout.confidence = settings.confidence;
  rollout.stratified = method.stratified;
  rollout.luck = method.luck == CoverageLuck::kNone ? LuckControl::kNone : LuckControl::kEstimated;
  rollout.half_width =
      method.half_width * problem.spread * std::sqrt(36.0 / static_cast<double>(settings.trials));
  rollout.most_trials = 8 * settings.trials;
  rollout.known_ends = false;
  return rollout;
}

/// The exact player, and luck read from evaluators that are wrong.
struct CoveragePlayers {
  explicit CoveragePlayers(const Evaluator& truth)
      : exact(truth), wrong(truth), wrong_luck(wrong), ignorant_luck(ignorant) {}

  [[nodiscard]] const LuckSource* luck(CoverageLuck source) const {
    if (source == CoverageLuck::kNetwork) return &network_luck;
    return source == CoverageLuck::kIgnorant ? &ignorant_luck : &wrong_luck;
  }

  RememberingPlayer exact;
  WrongEvaluator wrong;
  IgnorantEvaluator ignorant;
  RememberingControl wrong_luck;
  RememberingControl ignorant_luck;
  NetworkLuck network_luck{random_luck_networks()};
};

inline Estimate share_of_points(const RolledCube& cube, int points) {
  for (const RolledCube::Points& one : cube.points) {
    if (one.points == points) return one.share;
  }
  return {};
}

/// Rolls out a problem's plays with one seed after another. The equity and outcomes are those of
/// the first play.
inline CoverageResult measure_coverage(const CoverageProblem& problem,
                                       const CoveragePlayers& players, const CoverageMethod& method,
                                       const CoverageSettings& settings) {
  static constexpr std::array kNames{"lose bg", "lose g", "lose", "win", "win g", "win bg"};
  constexpr double kRare = 0.01;
  const Score money = money_score();
  CoverageResult result;
  Coverage equity{"equity"};
  Coverage cost{"cost"};
  std::vector<Coverage> outcomes;
  std::vector<Coverage> points;
  for (const auto& [number, probability] : problem.points) {
    if (probability <= kRare) continue;
    points.push_back({std::to_string(number) + " points", probability, 0, number});
  }
  // Plays with the cube are others than those for the most wins.
  for (std::size_t o = 0; o < kOutcomeCount && !problem.cube; ++o) {
    const double probability = problem.truths[0][o];
    if (probability > kRare && probability < 1.0) outcomes.push_back({kNames[o], probability, o});
  }
  const auto count = [](Coverage& coverage, const Estimate& estimate, double truth) {
    ++coverage.rollouts;
    // The last term lets exact results pass that are rounded in other ways.
    if (std::abs(estimate.mean - truth) <= estimate.half_width + 1e-9) ++coverage.covering;
  };
  RolloutSettings rollout = coverage_rollout(problem, method, settings);
  const TrialPlayers those{players.wrong, players.luck(method.luck), &players.exact};
  const auto cube = problem.cube ? std::optional(*problem.cube) : std::nullopt;
  ThreadRunner runner;
  for (int i = 0; i < settings.rollouts; ++i) {
    rollout.seed = settings.first_seed + static_cast<std::uint64_t>(i);
    const RolloutResult rolled =
        roll_out(those, problem.position, problem.plays, money, rollout, runner, cube);
    const bool first_is_best = rolled.plays[0].play == problem.plays[0];
    const double lead = problem.equities[0] - problem.equities[1];
    count(cost, rolled.plays[1].cost, first_is_best ? lead : -lead);
    const RolledPlay& first = rolled.plays[first_is_best ? 0 : 1];
    result.mean_trials += static_cast<double>(first.trials) / settings.rollouts;
    count(equity, first.equity, problem.equities[0]);
    if (first.cube) {
      for (Coverage& coverage : points) {
        count(coverage, share_of_points(*first.cube, coverage.points), coverage.probability);
      }
    }
    for (Coverage& coverage : outcomes) {
      count(coverage, first.outcomes[coverage.outcome], coverage.probability);
    }
  }
  result.intervals = {equity, cost};
  result.intervals.insert(result.intervals.end(), points.begin(), points.end());
  result.intervals.insert(result.intervals.end(), outcomes.begin(), outcomes.end());
  return result;
}

}  // namespace sixfold
