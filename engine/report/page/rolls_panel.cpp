#include "report/page/rolls_panel.h"

#include <vector>

#include "report/page/sheet_parts.h"
#include "report/words/names.h"
#include "report/words/roll_words.h"
#include "rollout/first_rolls.h"
#include "rules/notation.h"
#include "study/deciding_rolls.h"

namespace sixfold {
namespace {

/// `sign` is -1 where what the JSON holds is told the other way round.
std::string table(const std::vector<RollPart>& rolls, const std::string& caption,
                  const TableCells& heads, const JsonPath& parts, double sign) {
  std::string rows;
  for (const RollPart& one : rolls) {
    const auto index = static_cast<std::size_t>(one.roll.index());
    const JsonPath at = parts / index / "share";
    Estimate stored = one.part;
    stored.mean *= sign;
    const double if_it_comes = 1.0 / roll_probability(index);
    rows += table_row(
        roll_text(one.roll),
        {std::to_string(one.roll.weight()),
         with_half_width(datum(stored.mean, at / "mean", "{:+.3f}", sign * if_it_comes),
                         datum(stored.half_width, at / "half_width", "{:.3f}", if_it_comes)),
         with_half_width(datum(stored.mean, at / "mean", "{:+.4f}", sign),
                         datum(stored.half_width, at / "half_width", "{:.4f}"))});
  }
  return table_of("rolls", caption, heads, rows);
}

}  // namespace

std::string rolls_panel(const RolledDecision& rolled, std::size_t other, const JsonPath& at) {
  const RolledPlay& play = rolled.result.plays[other];
  if (play.at_least) return "";
  const std::vector<RollPart> rolls = shown_rolls(deciding_rolls(play.by_roll, play.cost)).rows;
  if (rolls.empty()) return "";
  return paragraphs("words", roll_words(rolled, other)) +
         table(rolls, "What " + play_name(rolled, other) + " costs, by the opponent's next roll",
               {"in 36", "cost if it comes", "part of the cost"}, at / "by_roll", 1.0);
}

std::string rolls_panel(const CubeStudy& study, const JsonPath& at) {
  if (!study.rolled || !study.rolled->double_take) return "";
  const RolledDouble& rolled = *study.rolled;
  const std::vector<RollPart> rolls = shown_rolls(deciding_rolls(rolled)).rows;
  if (rolls.empty()) return "";
  return paragraphs("words", roll_words(study)) +
         table(rolls, "What a double that is taken gains on waiting, by the roller's next roll",
               {"in 36", "gain if it comes", "part of the gain"}, at / "rollout" / "by_roll", -1.0);
}

}  // namespace sixfold
