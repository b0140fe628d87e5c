#include "equity/cube.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <span>

#include "base/input_error.h"
#include "base/text_reader.h"

namespace sixfold {
namespace {

/// Rounding must not turn a take that is exactly a pass, or a double that is exactly none.
constexpr double kEqual = 1e-12;

constexpr const char* kForms = "centred, roller:V or opponent:V, V a power of two from 2 on";

/// The least chance to win from which doubling is worth no less than waiting.
double double_point(const WorthLine& waiting, const WorthLine& doubled, double cash) noexcept {
  double low = 0.0;
  double high = cash;
  if (doubled.at(low) >= waiting.at(low)) return low;
  for (int i = 0; i < 50; ++i) {
    const double middle = (low + high) / 2.0;
    (doubled.at(middle) >= waiting.at(middle) ? high : low) = middle;
  }
  return high;
}

}  // namespace

Cube parse_cube(std::string_view text) {
  for (const char* word : {"centred", "centered", "center", "centre"}) {
    if (is_same_word(text, word)) return {};
  }
  TextReader reader(text, "cube");
  Cube cube;
  if (reader.accept("roller:")) {
    cube.owner = CubeOwner::kRoller;
  } else if (reader.accept("opponent:")) {
    cube.owner = CubeOwner::kOpponent;
  } else {
    reader.fail(reader.found(), kForms);
  }
  const auto value = reader.number();
  if (!value || !reader.at_end()) reader.fail(reader.found(), kForms);
  if (*value < 2 || *value > 1024 || !std::has_single_bit(static_cast<unsigned>(*value))) {
    reader.fail_at_number("a cube at " + std::to_string(*value), "2, 4, 8, ... up to 1024");
  }
  cube.value = *value;
  return cube;
}

std::optional<Cube> parse_cube_or_none(std::string_view text) {
  if (is_same_word(text, "none")) return std::nullopt;
  return parse_cube(text);
}

std::string cube_text(const Cube& cube) {
  if (cube.owner == CubeOwner::kCentred) return "centred";
  const std::string owner = cube.owner == CubeOwner::kRoller ? "roller:" : "opponent:";
  return owner + std::to_string(cube.value);
}

double CubeDecision::equity() const noexcept {
  if (!double_take) return no_double;
  return std::max(no_double, std::min(*double_take, *double_pass));
}

CubeAction answer_of(const CubeDecision& decision) noexcept {
  return *decision.double_take > *decision.double_pass + kEqual ? CubeAction::kDoublePass
                                                                : CubeAction::kDoubleTake;
}

void decide(CubeDecision& decision) noexcept {
  decision.action = CubeAction::kNoDouble;
  if (!decision.double_take) return;
  if (answer_of(decision) == CubeAction::kDoublePass) {
    decision.action = decision.no_double > *decision.double_pass + kEqual ? CubeAction::kTooGood
                                                                          : CubeAction::kDoublePass;
  } else if (*decision.double_take + kEqual >= decision.no_double) {
    decision.action = CubeAction::kDoubleTake;
  }
}

CubeLines::CubeLines(const CubeModel& model, CubeOwner owner, bool beavers) noexcept : count_(0) {
  const auto add = [&](CubeOwner its_owner) {
    levels_[count_] = {&model.stake(count_), model.worth(count_, its_owner)};
    ++count_;
  };
  add(owner);
  if (owner == CubeOwner::kOpponent || !model.stake(0).roller_may_double) return;
  add(CubeOwner::kOpponent);
  if (beavers && model.steps() > 2) add(CubeOwner::kOpponent);
}

double CubeLines::worth(std::size_t doublings, const OutcomeDistribution& outcomes) const noexcept {
  assert(doublings < count_);
  const Level& level = levels_[doublings];
  const double p = outcomes.win_probability();
  const double dead = level.line.worth[0] + p * (level.line.worth[3] - level.line.worth[0]);
  return worth_of(outcomes, level.stake->worth) + (level.line.at(p) - dead);
}

CubeDecision CubeLines::decide(const OutcomeDistribution& outcomes) const noexcept {
  const Stake& stake = *levels_[0].stake;
  CubeDecision decision;
  decision.no_double = equity_of(stake, worth(0, outcomes));
  if (count_ == 1) return decision;
  decision.double_pass = 1.0;
  decision.double_take = equity_of(stake, worth(1, outcomes));
  if (count_ > 2 && *decision.double_take < 0.0) {
    decision.is_beavered = true;
    decision.double_take = equity_of(stake, worth(2, outcomes));
  }
  sixfold::decide(decision);
  return decision;
}

CubeDecision exact_decision(const TwoSidedTable::Entry& entry, CubeOwner owner) noexcept {
  CubeDecision decision;
  if (owner == CubeOwner::kOpponent) {
    decision.no_double = entry.opponents;
    return decision;
  }
  decision.no_double = owner == CubeOwner::kCentred ? entry.hold_centred : entry.hold_owned;
  decision.double_take = entry.double_take();
  decision.double_pass = 1.0;
  decide(decision);
  return decision;
}

std::span<const Stake> stakes_from(const Score& score, const Cube& cube) {
  if (score.away && score.away->phase == MatchPhase::kCrawford &&
      (cube.value != 1 || cube.owner != CubeOwner::kCentred)) {
    throw InputError("the cube is not used in the Crawford game", "cube", "centred");
  }
  auto turns = static_cast<std::size_t>(std::countr_zero(static_cast<unsigned>(cube.value)));
  // At money all cubes that have been turned are alike, as far from the last value as can be.
  if (!score.away) turns = std::min<std::size_t>(turns, 1);
  if (turns >= score.stakes.size()) {
    throw InputError(
        "a cube at " + std::to_string(cube.value) + " is beyond the match", "cube",
        "at most " + std::to_string(1 << (score.stakes.size() - 1)) + " at " + score.name);
  }
  return std::span(score.stakes).subspan(turns);
}

TakePoints take_points(const CubeModel& model) noexcept {
  const Stake& stake = model.stake(0);
  TakePoints points;
  if (stake.opponent_may_double) {
    points.roller = TakePoint{model.worth(1, CubeOwner::kRoller).crossing(stake.pass_lose),
                              model.dead_worth(1).crossing(stake.pass_lose)};
  }
  if (stake.roller_may_double) {
    points.opponent = TakePoint{1.0 - model.worth(1, CubeOwner::kOpponent).crossing(stake.pass_win),
                                1.0 - model.dead_worth(1).crossing(stake.pass_win)};
  }
  return points;
}

CubeCosts costs_of(const CubeDecision& decision) noexcept {
  assert(decision.double_take && decision.double_pass);
  const double best = decision.equity();
  const double doubled = std::min(*decision.double_take, *decision.double_pass);
  return {best - decision.no_double, best - doubled, *decision.double_take - doubled,
          *decision.double_pass - doubled};
}

OutcomeWorth cubeless_worth(const Score& score, const Cube& cube) {
  const Stake& stake = stakes_from(score, cube).front();
  return equity_of(stake, stake.worth);
}

CubeDecision cube_decision(const OutcomeDistribution& outcomes, const Score& score,
                           const Cube& cube, const CubeLives& lives, bool beavers) {
  const CubeModel model(stakes_from(score, cube), outcomes, lives, !score.match);
  CubeDecision decision = CubeLines(model, cube.owner, beavers).decide(outcomes);
  if (!decision.double_take) return decision;
  decision.take_point = take_points(model).opponent;
  decision.cash_point = 1.0 - decision.take_point->live;
  decision.double_point = double_point(model.worth(0, cube.owner),
                                       model.worth(1, CubeOwner::kOpponent), *decision.cash_point);
  return decision;
}

double equity_with_cube(const OutcomeDistribution& outcomes, const Score& score, const Cube& cube,
                        const CubeLives& lives) {
  return cube_decision(outcomes, score, cube, lives).no_double;
}

std::string_view action_text(CubeAction action) noexcept {
  switch (action) {
    case CubeAction::kDoubleTake:
      return "double, take";
    case CubeAction::kDoublePass:
      return "double, pass";
    case CubeAction::kTooGood:
      return "too good";
    case CubeAction::kNoDouble:
      break;
  }
  return "no double";
}

}  // namespace sixfold
