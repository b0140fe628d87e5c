#include "rules/game_result.h"

namespace sixfold {
namespace {

constexpr unsigned bit(Outcome outcome) { return 1u << static_cast<int>(outcome); }

/// On the bar or in the other side's home board: points 19 to 24 and the bar, from its own side.
bool stands_behind(const Side& side) noexcept { return side.rearmost() >= kFarHome; }

/// 0 single, 1 gammon, 2 backgammon.
int size_of_loss(const Side& loser) noexcept {
  if (loser.borne_off() > 0) return 0;
  return stands_behind(loser) ? 2 : 1;
}

}  // namespace

std::optional<Outcome> game_result(const Position& position) noexcept {
  if (position.opponent.all_off()) {
    return static_cast<Outcome>(2 - size_of_loss(position.roller));
  }
  if (position.roller.all_off()) {
    return static_cast<Outcome>(3 + size_of_loss(position.opponent));
  }
  return std::nullopt;
}

unsigned possible_outcomes(const Position& position) noexcept {
  if (const auto result = game_result(position)) return bit(*result);
  const bool race = is_race(position);
  unsigned possible = bit(Outcome::kLoseSingle) | bit(Outcome::kWinSingle);
  if (position.roller.borne_off() == 0) {
    possible |= bit(Outcome::kLoseGammon);
    if (!race || stands_behind(position.roller)) possible |= bit(Outcome::kLoseBackgammon);
    if (position.roller.total() == 1) possible &= ~bit(Outcome::kLoseSingle);
  }
  if (position.opponent.borne_off() == 0) {
    possible |= bit(Outcome::kWinGammon);
    if (!race || stands_behind(position.opponent)) possible |= bit(Outcome::kWinBackgammon);
    if (position.opponent.total() == 1) possible &= ~bit(Outcome::kWinSingle);
  }
  return possible;
}

}  // namespace sixfold
