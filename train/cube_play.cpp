#include "train/cube_play.h"

#include <algorithm>
#include <limits>
#include <optional>

#include "equity/cube.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"

namespace sixfold {
namespace {

constexpr std::array<CubeOwner, 3> kOwners{CubeOwner::kCentred, CubeOwner::kRoller,
                                           CubeOwner::kOpponent};

/// What followed tells nothing about players who would have played otherwise, from this loss of
/// equity on.
constexpr double kOtherPlay = 0.02;

const std::vector<Stake>& money_stakes() {
  static const std::vector<Stake> stakes = money_score().stakes;
  return stakes;
}

CubeDecision decision_of(const HoldEquities& hold, CubeOwner owner) noexcept {
  CubeDecision decision;
  decision.no_double = hold[owner];
  if (owner == CubeOwner::kOpponent) return decision;
  decision.double_take = 2.0 * hold[CubeOwner::kOpponent];
  decision.double_pass = 1.0;
  decide(decision);
  return decision;
}

/// Plays a game and remembers what is needed to look back on it.
class CubeTeacher {
 public:
  CubeTeacher(const Evaluator& evaluator, const TwoSidedTable& two_sided, ChoiceScratch& scratch)
      : evaluator_(evaluator), two_sided_(two_sided), scratch_(scratch) {}

  /// A position before the roll, and the game's play of one.
  struct Turn {
    CubeSample sample;
    HoldEquities backed;              ///< By its values after all plays of all rolls.
    std::array<bool, 3> is_played{};  ///< Whether the game's play is one of that owner's, too.
    PlayKey play;
  };

  [[nodiscard]] Turn turn(const Position& position, Roll roll) {
    Turn turn;
    const Outlook outlook = evaluator_.evaluate_with_cube(position);
    turn.sample = sample_of(position, outlook.outcomes);
    turn.sample.value = hold(position, outlook);
    for (const Roll next : kRolls) {
      const HoldEquities best = look_at(position, next);
      for (std::size_t o = 0; o < kOwners.size(); ++o) {
        turn.backed.of[o] += next.weight() * best.of[o] / kDiceOutcomes;
      }
      if (next != roll) continue;
      const Choice choice = cubeless_choice();
      turn.play = choice.play;
      const HoldEquities played = after(position, choice);
      for (std::size_t o = 0; o < kOwners.size(); ++o) {
        turn.is_played[o] = best.of[o] - played.of[o] < kOtherPlay;
      }
    }
    if (two_sided_.holds(position)) turn.backed = turn.sample.value;
    return turn;
  }

 private:
  [[nodiscard]] static CubeSample sample_of(const Position& position,
                                            const OutcomeDistribution& outcomes) {
    const CubeModel model(money_stakes(), outcomes, equal_lives(1.0), true);
    const double p = outcomes.win_probability();
    CubeSample sample;
    sample.position = position;
    const WorthLine dead = model.dead_worth(0);
    sample.dead = worth_of(outcomes, kMoneyWorth);
    const auto gains = [&](CubeOwner owner) {
      const WorthLine line = model.worth(0, owner);
      const WorthLine::Passes passes = line.passes(p);
      return std::pair(passes.won * (line.worth[2] - dead.at(line.chance[2])),
                       passes.lost * (line.worth[1] - dead.at(line.chance[1])));
    };
    const auto centred = gains(CubeOwner::kCentred);
    sample.gain = {gains(CubeOwner::kRoller).first, gains(CubeOwner::kOpponent).second,
                   centred.first, centred.second};
    return sample;
  }

  [[nodiscard]] HoldEquities hold(const Position& position, const Outlook& outlook) const {
    if (two_sided_.holds(position)) {
      const TwoSidedTable::Entry& entry = two_sided_.entry(position);
      return {{entry.hold_centred, entry.hold_owned, entry.opponents}};
    }
    const CubeModel model(money_stakes(), outlook.outcomes, outlook.lives, true);
    const double p = outlook.outcomes.win_probability();
    HoldEquities equities;
    for (const CubeOwner owner : kOwners) equities[owner] = model.worth(0, owner).at(p);
    return equities;
  }

  /// For the player who makes the play, by where the cube is for him.
  [[nodiscard]] HoldEquities after(const Position& position, const Choice& choice) const {
    return after(position_after(position, choice.play), {choice.outcomes, *choice.lives});
  }
  [[nodiscard]] HoldEquities after(const Position& child, const Outlook& outlook) const {
    HoldEquities equities;
    if (game_over(child)) {
      equities.of.fill(worth_of(outlook.outcomes, kMoneyWorth));
      return equities;
    }
    const HoldEquities his = hold(child, reversed(outlook));
    for (const CubeOwner owner : kOwners) {
      equities[owner] = -decision_of(his, reversed(owner)).equity();
    }
    return equities;
  }

  /// The best play's equity for each place of the cube; leaves the plays in the scratch.
  [[nodiscard]] HoldEquities look_at(const Position& position, Roll roll) {
    generate_plays(position, roll, scratch_.plays);
    const auto plays = scratch_.plays.span();
    evaluator_.evaluate_children_with_cube(
        position, plays, ChoiceScratch::first_of(scratch_.outlooks, plays.size()));
    HoldEquities best;
    best.of.fill(-std::numeric_limits<double>::infinity());
    for (std::size_t i = 0; i < plays.size(); ++i) {
      const HoldEquities play = after(position_after(position, plays[i]), scratch_.outlooks[i]);
      for (std::size_t o = 0; o < kOwners.size(); ++o)
        best.of[o] = std::max(best.of[o], play.of[o]);
    }
    return best;
  }

  [[nodiscard]] Choice cubeless_choice() const {
    std::size_t best = 0;
    const auto worth = [&](std::size_t i) {
      return worth_of(scratch_.outlooks[i].outcomes, kMoneyWorth);
    };
    for (std::size_t i = 1; i < scratch_.plays.size(); ++i) {
      if (worth(i) > worth(best)) best = i;
    }
    return {scratch_.plays[best], scratch_.outlooks[best].outcomes, scratch_.outlooks[best].lives};
  }

  const Evaluator& evaluator_;
  const TwoSidedTable& two_sided_;
  ChoiceScratch& scratch_;
};

/// By how much the value of the next turn's decision turned out to be another one than it seemed;
/// for the player before.
double surprise(const CubeTeacher::Turn& next, CubeOwner owner) noexcept {
  const auto missed = [&](CubeOwner place) {
    return next.sample.target[place] - next.sample.value[place];
  };
  switch (decision_of(next.sample.value, owner).action) {
    case CubeAction::kDoublePass:
      return 0.0;
    case CubeAction::kDoubleTake:
      return -2.0 * missed(CubeOwner::kOpponent);
    case CubeAction::kNoDouble:
    case CubeAction::kTooGood:
      break;
  }
  return -missed(owner);
}

}  // namespace

std::vector<CubeSample> cube_game_samples(const Evaluator& evaluator,
                                          const TwoSidedTable& two_sided, const Position& start,
                                          double lambda, std::uint64_t seed, std::uint64_t game,
                                          ChoiceScratch& scratch) {
  RandomStream random(seed, game);
  CubeTeacher teacher(evaluator, two_sided, scratch);
  std::vector<CubeTeacher::Turn> turns;
  for (Position position = start; !game_over(position);) {
    turns.push_back(teacher.turn(position, random.roll()));
    position = position_after(position, turns.back().play);
  }
  for (std::size_t t = turns.size(); t-- > 0;) {
    CubeTeacher::Turn& turn = turns[t];
    turn.sample.target = turn.backed;
    if (t + 1 == turns.size() || two_sided.holds(turn.sample.position)) continue;
    for (const CubeOwner owner : kOwners) {
      if (!turn.is_played[static_cast<std::size_t>(owner)]) continue;
      turn.sample.target[owner] += lambda * surprise(turns[t + 1], reversed(owner));
    }
  }
  std::vector<CubeSample> samples;
  for (const CubeTeacher::Turn& turn : turns) samples.push_back(turn.sample);
  return samples;
}

}  // namespace sixfold
