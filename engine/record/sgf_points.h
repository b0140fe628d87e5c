/// Points and plays in the letters of SGF. Source: SGF FF[4], the Smart Game Format's page on
/// backgammon, GM[6]. Pure; thread-safe.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "rules/plays.h"

namespace sixfold {

/// `a` is White's (player 0's) 1 point and Black's 24 point, `y` the bar, `z` borne off.
[[nodiscard]] char sgf_letter(int location, int player);
/// The player's own number of it. Nothing for what is no such letter.
[[nodiscard]] std::optional<int> location_of(char letter, int player);

/// A play as pairs of letters. REQUIRES: a legal play of the roll from the player's `position`.
[[nodiscard]] std::string sgf_pairs(const Position& position, Roll roll, PlayKey play, int player);

/// The play that pairs mean, and whether they fit another as well.
struct MeantPlay {
  PlayKey play{};
  bool is_guess = false;
};
/// Pairs in any order, one checker's steps joined or not: the position that results tells which
/// play is meant. Where several fit, they differ in what one checker hits on its way: the one that
/// hits just where pairs end, else a guess, the larger die first. Throws InputError for what is no
/// list of pairs, and for illegal plays with the legal ones.
[[nodiscard]] MeantPlay meant_play(const Position& position, Roll roll, std::string_view pairs,
                                   int player);

}  // namespace sixfold
