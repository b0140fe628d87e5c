/// Text forms of positions, rolls and plays, and their parsers.
///
/// Position: `ROLLER / OPPONENT`, each side from its own viewpoint, points 24..1 or `bar`, `PxN`
/// for N checkers. Play: standard notation such as `13/8 24/23`, `8/5*/4`, `bar/22*`, `6/off(2)`,
/// `no play`. Read as well: `P(N)` for N checkers, commas for blanks, upper case. Parsers throw
/// InputError with the place and what was expected. Thread-safe.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "rules/plays.h"
#include "rules/position.h"

namespace sixfold {

/// Whose numbers a position's points have: each side's its own, or all of them the roller's.
enum class Numbering : std::uint8_t { kOwn, kRollers };

/// Checkers not listed are borne off. Refuses more than `checkers` a side, a point shared by both
/// sides, a number out of range, both sides all off, and anything that is not of the form.
/// REQUIRES: 1 <= checkers <= 15.
[[nodiscard]] Position parse_position(std::string_view text, int checkers = kMaxCheckers,
                                      Numbering numbering = Numbering::kOwn);

/// Throws InputError for a point shared by both sides, and for both sides all off.
void require_possible(const Position& position);

/// Descending, the bar first; an empty side is written as nothing.
[[nodiscard]] std::string position_text(const Position& position);

/// "43" or "34": two dice; "4-3" and "4,3" are read too.
[[nodiscard]] Roll parse_roll(std::string_view text);
[[nodiscard]] std::string roll_text(Roll roll);

/// Parts ordered by origin, highest first; one checker's consecutive steps joined where it hits
/// nothing on the way; hits marked. REQUIRES: `play` is a legal result of `roll` from `position`.
[[nodiscard]] std::string play_text(const Position& position, Roll roll, PlayKey play);

/// Several plays, with commas between.
[[nodiscard]] std::string plays_text(const Position& position, Roll roll, const PlayList& plays);

/// Accepts the parts in any order, with or without hit marks. An illegal play is refused with the
/// legal ones named.
[[nodiscard]] PlayKey parse_play(const Position& position, Roll roll, std::string_view text);

/// The position reached from the start by a line such as "31: 8/5 6/5, 64: 24/14", for the player
/// then on roll.
[[nodiscard]] Position parse_line(std::string_view text, int checkers = kMaxCheckers);

}  // namespace sixfold
