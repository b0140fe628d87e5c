#include "report/text/solved_text.h"

#include <utility>

#include "base/format.h"
#include "report/text/layout.h"
#include "report/text/outcome_columns.h"
#include "rules/notation.h"

namespace sixfold {

std::string solved_text(const SolvedSummary& summary, const SolvedTelling& telling) {
  std::string text = format("Game of {} a side: ", summary.checkers) +
                     format("{} positions, cubeless money play, ", summary.positions) +
                     std::string(telling.loaded ? "loaded" : "solved") +
                     format(" in {:.1f} s\n", telling.seconds) + "Start     " +
                     position_text(summary.start) + "\n\n" +
                     outcome_heading(padded("", 16) + "   equity", kOutcomeWidth);
  for (const auto& [name, outcomes] : {std::pair("on roll", summary.before_roll),
                                       std::pair("opening winner", summary.opening_winner)}) {
    text += padded(name, 16) + format("{:+.6f}", worth_of(outcomes, kMoneyWorth)) +
            outcome_cells(outcomes) + "\n";
  }
  text +=
      "\n" + wrapped(std::string(
                         "opening winner: the player whose die was the higher; the opening roll is "
                         "not doubles. ") +
                     kOutcomeNote);
  if (!telling.file.empty()) text += "Stored in " + telling.file + "\n";
  return text;
}

}  // namespace sixfold
