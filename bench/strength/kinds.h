// Kinds of positions, by rules of our own in the trade's terms, so that strength can be told for
// each of them.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "rules/position.h"

namespace sixfold {

enum class Kind { kOpening, kContact, kHolding, kPrime, kBackGame, kBlitz, kRace };

inline constexpr std::size_t kKindCount = 7;
inline constexpr std::array<std::string_view, kKindCount> kKindNames{
    "opening", "contact", "holding", "prime", "back game", "blitz", "race"};

// The kind of a position that was reached after `plies` plays. The first that fits, in this order:
//   race       no contact is left
//   opening    one of the first six plays
//   back game  a side that is behind in the race holds two points or more of the other's home board
//   blitz      a side on the bar has no point of the other's home board, of which three to five
//              points are made; nobody has borne off yet
//   prime      five points or more in a row, with a checker of the other side behind them
//   holding    the last checkers of a side are two or more on its 18 to 21 points, and all of the
//              other side's have left that side's home board
//   contact    everything else
Kind kind_of(const Position& position, int plies);

// Throws InputError for a name that is none; `where` is for that message.
Kind kind_named(const std::string& name, const std::string& where);

}  // namespace sixfold
