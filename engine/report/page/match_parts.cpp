#include "report/page/match_parts.h"

#include <algorithm>

#include "base/markup.h"
#include "report/page/sheet_parts.h"
#include "report/words/phrases.h"

namespace sixfold {
std::string MatchTold::short_name(int player) const {
  constexpr std::size_t kMost = 11;
  const std::string& name = this->player(player);
  return columns_of(name) > kMost ? shortened(name, kMost - 1) + "…" : name;
}

bool MatchTold::has_panel(const ReviewedTurn& turn) const {
  return std::any_of(panels.begin(), panels.end(),
                     [&](const TurnInGame& panel) { return panel.turn == &turn; });
}

std::string game_id(const ReviewedGame& game) { return format("game-{}", game.number); }

std::string panel_id(const TurnInGame& turn) {
  // A double that was missed has the number of the play after it.
  return game_id(*turn.game) + format("-turn-{}", turn.turn->number) +
         (turn.turn->kind == TurnKind::kPlay ? "" : "-cube");
}

std::string link_to(const std::string& id, const std::string& words) {
  return element("a", {{"href", "#" + id}}, escaped(words));
}

JsonPath game_path(const MatchReview& review, const ReviewedGame& game) {
  return JsonPath() / "games" / static_cast<std::size_t>(&game - review.games.data());
}

JsonPath turn_path(const MatchReview& review, const TurnInGame& turn) {
  return game_path(review, *turn.game) / "turns" /
         static_cast<std::size_t>(turn.turn - turn.game->turns.data());
}

std::string where_words(const TurnInGame& turn) {
  return format("Game {}, turn {}", turn.game->number, turn.turn->number);
}

std::string amount_datum(const RecordedMatch& match, double value, const JsonPath& at) {
  return match.length > 0 ? datum(value, at, "{:.1f}%", 100.0) : datum(value, at, "{:+.3f}");
}

std::string change_datum(const RecordedMatch& match, double value, const JsonPath& at) {
  return match.length > 0 ? datum(value, at, "{:+.2f}%", 100.0) : datum(value, at, "{:+.3f}");
}

std::string lead_datum(const RecordedMatch& match, const std::array<double, 2>& both,
                       const JsonPath& at, std::size_t of) {
  const double lead = both[of] - both[1 - of];
  return match.length > 0 ? sum_datum(lead, at / of, -1, at / (1 - of), "{:+.2f}%", 100.0)
                          : sum_datum(lead, at / of, -1, at / (1 - of), "{:+.3f}");
}

std::string turn_cost_datum(const ReviewedTurn& turn, const JsonPath& at) {
  const std::string cost = datum(turn.cost, at / "cost", "{:.3f}");
  if (!turn.half_width) return cost;
  return with_half_width(cost, datum(*turn.half_width, at / "cost_half_width", "{:.3f}"));
}

}  // namespace sixfold
