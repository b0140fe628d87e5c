/// How bear-offs end with the cube when both sides play and double exactly right at money.
#pragma once

#include <map>
#include <tuple>

#include "equity/cube_results.h"
#include "exact/two_sided.h"
#include "rules/game_result.h"
#include "rules/plays.h"

namespace sixfold {

/// By recursion over rolls, from the equities of the two-sided table alone.
class CubeTruth {
 public:
  explicit CubeTruth(const TwoSidedTable& table) : table_(table) {}

  enum class Owner { kCentred, kMine, kTheirs };

  /// For the side on roll, who is about to decide whether to double. REQUIRES: the table holds it.
  CubeResults results(const Position& position, Owner owner, std::size_t turns) {
    const auto key = std::tuple(position.roller.bits(), position.opponent.bits(), owner, turns);
    if (const auto found = memo_.find(key); found != memo_.end()) return found->second;
    CubeResults mean;
    for (const Roll roll : kRolls) {
      CubeResults results = after_roll(position, owner, turns, roll);
      results *= roll.weight() / 36.0;
      mean += results;
    }
    return memo_[key] = mean;
  }

  /// The same when this roll comes after the decision.
  CubeResults after_roll(const Position& position, Owner owner, std::size_t turns, Roll roll) {
    const TwoSidedTable::Entry& entry = table_.entry(position);
    const double hold = owner == Owner::kCentred ? entry.hold_centred
                        : owner == Owner::kMine  ? entry.hold_owned
                                                 : entry.opponents;
    // As players do, doubles that are no worse than waiting are made, up to rounding.
    constexpr double kEqual = 1e-12;
    const bool may_double = owner != Owner::kTheirs && turns + 1 < kCubeValues;
    if (may_double && entry.double_take() > 1.0 + kEqual && hold <= 1.0 + kEqual) {
      CubeResults passed;
      passed.at[turns][kPassWon] = 1.0;
      return passed;
    }
    if (may_double && entry.double_take() <= 1.0 + kEqual && entry.double_take() + kEqual >= hold) {
      return rolled(position, Owner::kTheirs, turns + 1, roll);
    }
    return rolled(position, owner, turns, roll);
  }

  /// For the side that has just moved and left `position` to the other.
  CubeResults left(const Position& position, Owner owner, std::size_t turns) {
    if (const auto result = game_result(position)) {
      CubeResults results;
      results.at[turns][kOutcomeCount - 1 - static_cast<std::size_t>(*result)] = 1.0;
      return results;
    }
    return reversed(results(position, other(owner), turns));
  }

 private:
  static Owner other(Owner owner) {
    if (owner == Owner::kCentred) return owner;
    return owner == Owner::kMine ? Owner::kTheirs : Owner::kMine;
  }
  double equity_left(const Position& position, Owner owner) const {
    if (game_over(position)) return 1.0;
    const TwoSidedTable::Entry& entry = table_.entry(position);
    return owner == Owner::kCentred ? -entry.centred
           : owner == Owner::kMine  ? -entry.opponents
                                    : -entry.owned;
  }
  CubeResults rolled(const Position& position, Owner owner, std::size_t turns, Roll roll) {
    PlayList plays;
    generate_plays(position, roll, plays);
    Position best = position_after(position, plays[0]);
    for (const PlayKey play : plays) {
      const Position after = position_after(position, play);
      if (equity_left(after, owner) > equity_left(best, owner)) best = after;
    }
    return left(best, owner, turns);
  }

  const TwoSidedTable& table_;
  std::map<std::tuple<Packed128, Packed128, Owner, std::size_t>, CubeResults> memo_;
};

}  // namespace sixfold
