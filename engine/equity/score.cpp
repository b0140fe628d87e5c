#include "equity/score.h"

#include <algorithm>

#include "rules/input_error.h"

namespace sixfold {

Score parse_score(std::string_view text) {
  const std::string name(text);
  if (text == "money") return {name, {-3, -2, -1, 1, 2, 3}, std::nullopt};
  if (text == "dmp") return {name, {-1, -1, -1, 1, 1, 1}, Score::MatchChances{0.0, 1.0}};
  if (text == "gammon-go") return {name, {-1, -1, -1, 1, 3, 3}, Score::MatchChances{0.0, 0.5}};
  if (text == "gammon-save") return {name, {-3, -3, -1, 1, 1, 1}, Score::MatchChances{0.5, 1.0}};
  throw InputError("'" + name + "' is not a known score", "score",
                   "money, dmp, gammon-go or gammon-save");
}

std::optional<double> match_winning_chance(const Score& score, double equity) noexcept {
  if (!score.match) return std::nullopt;
  const auto [loss, win] = *score.match;
  return loss + (win - loss) * (equity + 1.0) / 2.0;
}

}  // namespace sixfold
