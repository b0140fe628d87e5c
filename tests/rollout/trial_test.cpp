#include "rollout/trial.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "rollout/dice_plan.h"
#include "rollout/small_race.h"
#include "rollout/statistics.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Rules by which one evaluator does everything, with what they refer to.
struct OwnRules {
  explicit OwnRules(const Evaluator& evaluator, int lookahead = 0)
      : player(evaluator, lookahead), control(evaluator) {
    rules.player = &player;
    rules.luck = &control;
    rules.evaluator = &evaluator;
    rules.worth = kMoneyWorth;
  }
  OwnRules(const OwnRules&) = delete;
  OwnRules& operator=(const OwnRules&) = delete;
  void make_plain() {
    rules.stratified = false;
    rules.luck = nullptr;
  }

  EvaluatorPlayer player;
  FullControl control;
  TrialRules rules;
};

std::vector<OutcomeDistribution> blocks_of(const TrialRules& rules, const Position& position,
                                           std::uint64_t count) {
  ChoiceScratch scratch;
  std::vector<OutcomeDistribution> blocks;
  for (std::uint64_t block = 0; block < count; ++block) {
    blocks.push_back(play_block(rules, position, block, scratch).outcomes);
  }
  return blocks;
}

Estimate estimate_of(const std::vector<OutcomeDistribution>& blocks, std::size_t outcome) {
  std::vector<double> values;
  for (const OutcomeDistribution& block : blocks) values.push_back(block[outcome]);
  return estimate_from_blocks(values, 0.999);
}

/// Plays the two dice with different checkers, so that where a side's two checkers have come to
/// from their 24 point tells its roll; remembers the positions it is asked for, and calls them all
/// won for the side on roll.
class SplittingEvaluator final : public Evaluator {
 public:
  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    asked.push_back(position);
    return certain(Outcome::kWinSingle);
  }
  void evaluate_children(const Position&, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      const auto [near, far] = run(plays[i].mover());
      outcomes[i] = OutcomeDistribution{};
      outcomes[i][3] = near * far / 144.0;
      outcomes[i][2] = 1.0 - outcomes[i][3];
    }
  }
  /// How far the rearmost checker has run, and how far the other.
  static std::pair<int, int> run(const Side& side) {
    const int near = 24 - side.rearmost();
    return {near, 48 - side.pips() - near};
  }
  static Roll roll_of(const Side& side) {
    const auto [near, far] = run(side);
    return near == far ? make_roll(near / 2, near / 2) : make_roll(far, near);
  }

  mutable std::vector<Position> asked;
};

/// The first roll of every trial and the second, as far as `blocks` blocks go.
std::array<std::vector<Roll>, 2> first_rolls(std::uint64_t blocks, bool variance_reduction) {
  const SplittingEvaluator evaluator;
  OwnRules own(evaluator);
  if (!variance_reduction) own.make_plain();
  TrialRules& rules = own.rules;
  rules.truncate = 2;
  blocks_of(rules, parse_position("24x2 / 24x2"), blocks);
  std::array<std::vector<Roll>, 2> rolls;
  for (const Position& position : evaluator.asked) {
    rolls[0].push_back(SplittingEvaluator::roll_of(position.roller));
    rolls[1].push_back(SplittingEvaluator::roll_of(position.opponent));
  }
  return rolls;
}

/// Blocks in whose six rolls every number shows twice.
std::uint64_t even_blocks(const std::vector<Roll>& rolls) {
  std::uint64_t even = 0;
  for (std::size_t first = 0; first < rolls.size(); first += kBlockTrials) {
    std::array<int, 7> shown{};
    for (std::size_t i = first; i < first + kBlockTrials; ++i) {
      ++shown[rolls[i].high];
      ++shown[rolls[i].low];
    }
    even += shown == std::array<int, 7>{0, 2, 2, 2, 2, 2, 2} ? 1u : 0u;
  }
  return even;
}

}  // namespace

TEST_CASE("In a planned block each die of the first two rolls shows every number once") {
  for (std::uint64_t block = 0; block < 50; ++block) {
    const DicePlan plan(9, block);
    for (std::size_t ply = 0; ply < kPlannedPlies; ++ply) {
      std::array<int, 7> shown{};
      for (std::size_t trial = 0; trial < kBlockTrials; ++trial) {
        ++shown[plan.roll(ply, trial).high];
        ++shown[plan.roll(ply, trial).low];
      }
      CHECK(shown == std::array<int, 7>{0, 2, 2, 2, 2, 2, 2});
    }
  }
}

TEST_CASE("The first two rolls of a block's trials are planned, and in plain trials they are not") {
  constexpr std::uint64_t kBlocks = 100;
  for (const auto& rolls : first_rolls(kBlocks, true)) {
    REQUIRE(rolls.size() == kBlocks * kBlockTrials);
    CHECK(even_blocks(rolls) == kBlocks);
  }
  for (const auto& rolls : first_rolls(kBlocks, false)) {
    REQUIRE(rolls.size() == kBlocks * kBlockTrials);
    CHECK(even_blocks(rolls) < kBlocks / 4);
  }
}

TEST_CASE("First and second rolls have the odds of two dice, planned or not") {
  // Chi-square with 20 degrees of freedom stays below 45.3 in 99.9% of samples (from memory);
  // planned rolls are spread more evenly still.
  constexpr std::uint64_t kBlocks = 1200;
  for (const bool planned : {true, false}) {
    for (const auto& rolls : first_rolls(kBlocks, planned)) {
      std::array<int, kRollCount> counts{};
      for (const Roll roll : rolls) ++counts[static_cast<std::size_t>(roll.index())];
      double chi_square = 0.0;
      for (const Roll roll : kRolls) {
        const double expected = static_cast<double>(rolls.size()) * roll.weight() / 36.0;
        const double excess = counts[static_cast<std::size_t>(roll.index())] - expected;
        chi_square += excess * excess / expected;
      }
      CHECK(chi_square < 45.3);
    }
  }
}

TEST_CASE("The second roll does not depend on the first") {
  // The correlation of the sums of two independent rolls has standard deviation 1 / sqrt(n).
  for (const bool planned : {true, false}) {
    const auto rolls = first_rolls(1200, planned);
    double sum = 0.0;
    for (std::size_t i = 0; i < rolls[0].size(); ++i) {
      const auto excess = [&](std::size_t ply) {
        return rolls[ply][i].high + rolls[ply][i].low - 7;
      };
      sum += excess(0) * excess(1);
    }
    const auto n = static_cast<double>(rolls[0].size());
    // The variance of a sum of two dice is 35/6.
    CHECK(std::abs(sum / (n * 35.0 / 6.0)) < 3.3 / std::sqrt(n));
  }
}

TEST_CASE("All positions see the same dice, and other seeds see others") {
  const std::vector<Roll> rolls = first_rolls(40, true)[0];
  const auto first_rolls_of = [](const char* start, std::uint64_t seed) {
    const SplittingEvaluator evaluator;
    OwnRules own(evaluator);
    TrialRules& rules = own.rules;
    rules.seed = seed;
    rules.truncate = 1;
    blocks_of(rules, parse_position(start), 40);
    std::vector<Roll> seen;
    for (const Position& position : evaluator.asked) {
      seen.push_back(SplittingEvaluator::roll_of(position.opponent));
    }
    return seen;
  };
  CHECK(first_rolls_of("24x2 / 20 9 8", 1) == rolls);
  CHECK(first_rolls_of("24x2 / 20 9 8", 2) != rolls);
}

TEST_CASE("A truncated trial ends with the evaluator's value, turned to the right side") {
  const SplittingEvaluator evaluator;
  OwnRules own(evaluator);
  own.make_plain();
  TrialRules& rules = own.rules;
  ChoiceScratch scratch;
  for (int plies = 1; plies <= 4; ++plies) {
    rules.truncate = plies;
    const OutcomeDistribution mean =
        play_block(rules, parse_position("24x2 / 24x2"), 3, scratch).outcomes;
    // After an odd number of plies the player whose trial it is has the roll, and so wins.
    CHECK(mean.win_probability() == Approx(plies % 2));
  }
}

TEST_CASE("With an exact evaluator luck explains all: every block has the exact value") {
  const Position position = parse_position("6 5 2 / 6 4 3", 3);
  const SmallRace race(position);
  const OutcomeDistribution truth = reversed(race.truth(position));
  for (const int truncate : {0, 1, 3}) {
    for (const int lookahead : {0, 1}) {
      OwnRules own(race, lookahead);
      own.rules.truncate = truncate;
      for (const OutcomeDistribution& block : blocks_of(own.rules, position, 10)) {
        for (std::size_t o = 0; o < kOutcomeCount; ++o) {
          CHECK(block[o] == Approx(truth[o]).margin(1e-12));
        }
      }
    }
  }
}

TEST_CASE(
    "With a false evaluator trials still have the true mean, and spread less than plain ones") {
  const Position position = parse_position("8 7 / 7 6", 2);
  const SmallRace race(position, 0.15);
  const OutcomeDistribution truth = reversed(race.truth(position));
  OwnRules own(race);
  const auto adjusted = blocks_of(own.rules, position, 3000);
  own.make_plain();
  const auto plain = blocks_of(own.rules, position, 3000);
  for (std::size_t o = 1; o <= 4; ++o) {
    INFO("outcome " << o);
    const Estimate with = estimate_of(adjusted, o);
    const Estimate without = estimate_of(plain, o);
    CHECK(std::abs(with.mean - truth[o]) <= with.half_width);
    CHECK(std::abs(without.mean - truth[o]) <= without.half_width);
    CHECK(with.standard_error < without.standard_error);
    CHECK(with.standard_error > 0.0);
  }
}

TEST_CASE("The luck of all rolls sums to zero") {
  const Position position = parse_position("8 7 / 7 6", 2);
  const SmallRace race(position, 0.15);
  const FullControl control(race);
  ChoiceScratch scratch;
  for (const char* score : {"money", "gammon-go"}) {
    OutcomeDistribution sum;
    for (const Roll roll : kRolls) {
      OutcomeDistribution luck =
          control.luck(position, roll, parse_score(score, own_match_equities()).worth, scratch)
              .outcomes;
      luck *= roll.weight() / 36.0;
      sum += luck;
    }
    for (std::size_t o = 0; o < kOutcomeCount; ++o) CHECK(sum[o] == Approx(0.0).margin(1e-15));
  }
}

TEST_CASE("Replies seen a roll ahead have the luck that full control finds") {
  const Position position = parse_position("8 7 / 7 6", 2);
  const SmallRace race(position, 0.15);
  const OutcomeWorth worth = parse_score("gammon-go", own_match_equities()).worth;
  const FullControl control(race);
  ChoiceScratch scratch;
  const ChosenPlay chosen = best_play_ahead(race, position, parse_roll("21"), worth, scratch);
  REQUIRE(chosen.replies);
  const Position after = position_after(position, chosen.play);
  for (const Roll roll : kRolls) {
    CHECK(luck_among(*chosen.replies, roll).outcomes ==
          control.luck(after, roll, opponents_worth(worth), scratch).outcomes);
  }
}

}  // namespace sixfold
