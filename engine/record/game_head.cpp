#include "record/game_head.h"

#include <algorithm>
#include <string>

namespace sixfold {
namespace {

using Score = std::array<int, 2>;

/// Far from an int's end.
constexpr int kMaxScore = 1'000'000'000;

std::string score_text(const Score& score) {
  return std::to_string(score[0]) + "-" + std::to_string(score[1]);
}

/// The score after the games read so far.
Score score_after(const RecordedMatch& match) {
  if (match.games.empty()) return {};
  Score score = match.games.back().score;
  const auto& end = match.games.back().end;
  if (end) score[static_cast<std::size_t>(end->winner)] += end->points;
  return score;
}

bool is_possible(const Score& score, int length) {
  return std::all_of(score.begin(), score.end(), [&](int points) {
    return points >= 0 && points < (length == 0 ? kMaxScore : length);
  });
}

/// How many players need one point more.
int at_one_point(const Score& score, int length) {
  return length == 0 ? 0 : static_cast<int>(std::count(score.begin(), score.end(), length - 1));
}

/// The first game at which one player alone is a point away.
bool follows_crawford(const RecordedMatch& match, const Score& score) {
  const bool was_before = std::any_of(
      match.games.begin(), match.games.end(),
      [&](const RecordedGame& game) { return at_one_point(game.score, match.length) > 0; });
  return at_one_point(score, match.length) == 1 && !was_before;
}

}  // namespace

std::optional<RecordedGame> begin_game(ReadMatch& read, const GameHead& head) {
  const RecordedMatch& match = read.match;
  const std::string where = "game " + std::to_string(match.games.size() + 1) + ": ";
  RecordedGame game;
  game.score = score_after(match);
  if (head.score && !is_possible(*head.score, match.length)) {
    read.complaints.push_back(where + "a score of " + score_text(*head.score) +
                              " is impossible; expected 0 or more, and less than the match length");
  } else if (head.score) {
    if (*head.score != game.score && !match.games.empty()) {
      read.notes.push_back(where + "the score is said to be " + score_text(*head.score) +
                           ", where " + score_text(game.score) + " follows; the former counts");
    }
    game.score = *head.score;
  }
  if (!is_possible(game.score, match.length)) {
    read.complaints.push_back(where + "the match is over before it, at " + score_text(game.score) +
                              "; left out");
    return std::nullopt;
  }
  const bool follows = follows_crawford(match, game.score);
  game.is_crawford = head.is_crawford.value_or(follows);
  if (game.is_crawford && at_one_point(game.score, match.length) == 0) {
    read.complaints.push_back(where + "said to be the Crawford game at " + score_text(game.score) +
                              "; expected a match in which a player needs one point");
    game.is_crawford = false;
  }
  game.is_after_crawford = !game.is_crawford && at_one_point(game.score, match.length) > 0;
  game.jacoby = head.jacoby && match.length == 0;
  return game;
}

}  // namespace sixfold
