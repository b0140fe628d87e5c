/// Short recorded matches, and their reviews.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "equity/match_equity.h"
#include "rollout/random_stream.h"
#include "rules/notation.h"
#include "study/review.h"

namespace sixfold {

inline RecordedTurn play_turn(int player, const std::string& position, const char* dice,
                              const char* play) {
  RecordedTurn turn;
  turn.player = player;
  turn.position = parse_position(position);
  turn.roll = parse_roll(dice);
  turn.play = parse_play(turn.position, turn.roll, play);
  return turn;
}

inline RecordedTurn cube_turn(int player, TurnKind kind, const std::string& position) {
  RecordedTurn turn;
  turn.player = player;
  turn.kind = kind;
  turn.position = parse_position(position);
  return turn;
}

inline RecordedMatch money_game(std::vector<RecordedTurn> turns,
                                std::optional<RecordedEnd> end = {}) {
  RecordedMatch match;
  match.players = {"Mara", "Ivo"};
  RecordedGame& game = match.games.emplace_back();
  game.start = turns.front().player == 0 ? turns.front().position : swapped(turns.front().position);
  game.turns = std::move(turns);
  game.end = end;
  return match;
}

inline MatchReview reviewed(const RecordedMatch& match, const Evaluator& evaluator,
                            const ExactTables& tables = {}) {
  const auto always = [&](const Decision&) -> const Evaluator& { return evaluator; };
  return review_match({always, tables, own_match_equities()}, match);
}

/// A game at double match point from a race, played by plays at random.
inline RecordedMatch random_race(const Position& start, std::uint64_t number) {
  RandomStream random(5, number);
  RecordedMatch match;
  match.players = {"Mara", "Ivo"};
  match.length = 1;
  RecordedGame& game = match.games.emplace_back();
  game.start = start;
  Position position = start;
  PlayList plays;
  for (int player = 0; !game_over(position); player = 1 - player) {
    RecordedTurn turn;
    turn.player = player;
    turn.position = position;
    turn.roll = random.roll();
    generate_plays(position, turn.roll, plays);
    turn.play = plays[random.below(static_cast<std::uint32_t>(plays.size()))];
    position = position_after(position, turn.play);
    game.turns.push_back(turn);
    if (game_over(position)) game.end = RecordedEnd{player, 1, false};
  }
  return match;
}

}  // namespace sixfold
