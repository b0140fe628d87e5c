/// What the parts of a reviewed match's page have in common: its turns, where they stand on the
/// page and in review_json(), and numbers in the match's unit.
///
/// Pure functions; the review must outlive what is made of it.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "report/json/json_path.h"
#include "report/words/review_words.h"
#include "study/review.h"

namespace sixfold {

/// A review, and those of its decisions that have panels: the dearest first.
struct MatchTold {
  const MatchReview& review;
  std::vector<TurnInGame> panels;

  [[nodiscard]] const RecordedMatch& match() const noexcept { return review.match; }
  [[nodiscard]] const RecordedGame& record(const ReviewedGame& game) const {
    return review.match.games[game.number - 1];
  }
  [[nodiscard]] const std::string& player(int number) const {
    return review.match.players[static_cast<std::size_t>(number)];
  }
  /// The same where there is little room.
  [[nodiscard]] std::string short_name(int player) const;
  [[nodiscard]] bool has_panel(const ReviewedTurn& turn) const;
};

// Names of places on the page: of a game, and of a decision's panel.
[[nodiscard]] std::string game_id(const ReviewedGame& game);
[[nodiscard]] std::string panel_id(const TurnInGame& turn);
/// A link to a place on the page; `words` are text.
[[nodiscard]] std::string link_to(const std::string& id, const std::string& words);

// Places in review_json().
[[nodiscard]] JsonPath game_path(const MatchReview& review, const ReviewedGame& game);
[[nodiscard]] JsonPath turn_path(const MatchReview& review, const TurnInGame& turn);

/// "Game 3, turn 18".
[[nodiscard]] std::string where_words(const TurnInGame& turn);

// Numbers in the match's unit, as amount_words() and change_words() have them.
[[nodiscard]] std::string amount_datum(const RecordedMatch& match, double value,
                                       const JsonPath& at);
[[nodiscard]] std::string change_datum(const RecordedMatch& match, double value,
                                       const JsonPath& at);
/// What the first player has more of, or with `of` 1 the second.
[[nodiscard]] std::string lead_datum(const RecordedMatch& match, const std::array<double, 2>& both,
                                     const JsonPath& at, std::size_t of = 0);
/// The cost of a turn in equity, with its interval where it was rolled out.
[[nodiscard]] std::string turn_cost_datum(const ReviewedTurn& turn, const JsonPath& at);

}  // namespace sixfold
