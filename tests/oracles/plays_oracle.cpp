#include "plays_oracle.h"

#include <algorithm>
#include <compare>
#include <cstddef>
#include <set>

namespace sixfold::oracle {
namespace {

/// Checkers on each location, each player's counted from that player's own viewpoint.
struct Board {
  int mover[26] = {};
  int other[26] = {};
  friend auto operator<=>(const Board&, const Board&) = default;
};

/// The end of one line of moves: nothing more can be moved, or nothing more needs to be.
struct Ending {
  int dice_played = 0;
  int first_die = 0;
  Board board;
  friend auto operator<=>(const Ending&, const Ending&) = default;
};

Board board_of(const Position& position) {
  Board board;
  for (int location = 0; location <= 25; ++location) {
    board.mover[location] = position.roller[location];
    board.other[location] = position.opponent[location];
  }
  return board;
}

/// The board as a position with the other player on roll.
Position next_position(const Board& board) {
  Position position;
  for (int location = 0; location <= 25; ++location) {
    position.roller.add(location, board.other[location]);
    position.opponent.add(location, board.mover[location]);
  }
  return position;
}

int left_to_bear_off(const int (&checkers)[26]) {
  int left = 0;
  for (int location = 1; location <= 25; ++location) left += checkers[location];
  return left;
}

bool is_over(const Board& board) {
  return left_to_bear_off(board.mover) == 0 || left_to_bear_off(board.other) == 0;
}

bool any_above(const Board& board, int point) {
  for (int location = point + 1; location <= 25; ++location) {
    if (board.mover[location] > 0) return true;
  }
  return false;
}

bool may_bear_off(const Board& board, int from, int die) {
  if (any_above(board, 6)) return false;
  if (die == from) return true;
  return die > from && !any_above(board, from);
}

bool may_move(const Board& board, int from, int die) {
  if (board.mover[from] == 0) return false;
  if (board.mover[25] > 0 && from != 25) return false;
  const int to = from - die;
  if (to <= 0) return may_bear_off(board, from, die);
  return board.other[25 - to] <= 1;
}

/// The board after one checker's move. REQUIRES: may_move(board, from, die).
Board moved(Board board, int from, int die) {
  const int to = std::max(from - die, 0);
  board.mover[from] -= 1;
  board.mover[to] += 1;
  if (to > 0 && board.other[25 - to] == 1) {
    board.other[25 - to] = 0;
    board.other[25] += 1;
  }
  return board;
}

/// Plays the dice in exactly this order with every choice of checkers, each line for as long as the
/// next die can be played and the game is not over.
void play_in_order(const Board& board, const std::vector<int>& dice, int dice_played,
                   std::set<Ending>& endings) {
  bool moved_on = false;
  if (dice_played < static_cast<int>(dice.size()) && !is_over(board)) {
    const int die = dice[static_cast<std::size_t>(dice_played)];
    for (int from = 1; from <= 25; ++from) {
      if (!may_move(board, from, die)) continue;
      moved_on = true;
      play_in_order(moved(board, from, die), dice, dice_played + 1, endings);
    }
  }
  if (!moved_on) endings.insert({dice_played, dice[0], board});
}

std::set<Ending> all_endings(const Board& board, Roll roll) {
  const int high = roll.high;
  const int low = roll.low;
  std::set<Ending> endings;
  if (high == low) {
    play_in_order(board, {high, high, high, high}, 0, endings);
  } else {
    play_in_order(board, {high, low}, 0, endings);
    play_in_order(board, {low, high}, 0, endings);
  }
  return endings;
}

}  // namespace

std::vector<Position> results(const Position& position, Roll roll) {
  const std::set<Ending> endings = all_endings(board_of(position), roll);

  // A line that ends the game is bound by the same rule as any other: it is legal only when no
  // line plays more dice. (A lone checker on the 4 point may not use the 5 of a 5-3 at once, but
  // the longer line, the 3 and then the 5, bears it off as well.)
  int most_dice = 0;
  for (const Ending& ending : endings) most_dice = std::max(most_dice, ending.dice_played);

  // When one die of two is the most, and the larger can be that one, the smaller may not be.
  bool larger_only = false;
  for (const Ending& ending : endings) {
    if (most_dice == 1 && ending.dice_played == 1 && ending.first_die == roll.high) {
      larger_only = true;
    }
  }

  std::set<Board> boards;
  for (const Ending& ending : endings) {
    if (ending.dice_played < most_dice) continue;
    if (larger_only && ending.first_die != roll.high) continue;
    boards.insert(ending.board);
  }

  std::vector<Position> positions;
  for (const Board& board : boards) positions.push_back(next_position(board));
  return positions;
}

std::optional<Outcome> outcome(const Position& position) {
  const Board board = board_of(position);
  if (!is_over(board)) return std::nullopt;

  const bool won = left_to_bear_off(board.mover) == 0;
  const int(&loser)[26] = won ? board.other : board.mover;
  if (loser[0] > 0) return won ? Outcome::kWinSingle : Outcome::kLoseSingle;

  // The winner's home board is the loser's points 19 to 24; 25 is the loser's bar.
  bool far_back = false;
  for (int location = 19; location <= 25; ++location) {
    if (loser[location] > 0) far_back = true;
  }
  if (far_back) return won ? Outcome::kWinBackgammon : Outcome::kLoseBackgammon;
  return won ? Outcome::kWinGammon : Outcome::kLoseGammon;
}

}  // namespace sixfold::oracle
