#include "report/text/ledger_text.h"

#include "base/format.h"
#include "report/text/layout.h"
#include "report/words/ledger_lines.h"
#include "report/words/names.h"
#include "study/comparisons.h"

namespace sixfold {

std::string ledger_text(const Ledger& ledger, const std::string& best, const std::string& other) {
  constexpr std::size_t kNameWidth = 26;
  std::string text = "What " + best + " gains on " + other + "\n";
  text += padded("", kNameWidth) + "games in 100       worth each   equity\n";
  for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
    const LedgerLine& line = ledger.lines[i];
    if (!is_worth_a_row(line)) continue;
    text += padded(kShareWords[i], kNameWidth) +
            format("{:+6.2f} ± {:<5.2f}  x  {:+7.3f}   =  ", 100.0 * line.change.mean,
                   100.0 * line.change.half_width, line.price) +
            signed_interval(line.worth, kEquityDecimals) + "\n";
  }
  const auto sum_line = [](const char* name, const Estimate& estimate) {
    return padded(name, kNameWidth + 32) + signed_interval(estimate, kEquityDecimals) + "\n";
  };
  if (ledger.cube) text += sum_line("the cube", *ledger.cube);
  return text + sum_line("cost", ledger.cost);
}

std::string ledger_rows(const std::vector<const RolledDecision*>& cells) {
  constexpr std::size_t kNameWidth = 22;
  std::string text = "What the best play gains on the runner-up, in equity\n" +
                     padded("by", kNameWidth + 1) +
                     "   win  win g+  win bg lose g+ lose bg    cube    cost\n";
  bool any = false;
  for (const RolledDecision* cell : cells) {
    const auto second = runner_up(*cell);
    if (!second || cell->result.plays[*second].at_least) continue;
    any = true;
    const Ledger ledger = ledger_of(cell->result.plays[*second], cell->worth);
    // A long name gets a line of its own.
    const std::string& name = cell->decision.score.name;
    text +=
        name.size() < kNameWidth ? padded(name, kNameWidth) : name + "\n" + padded("", kNameWidth);
    for (const LedgerLine& line : ledger.lines) {
      text += is_worth_a_row(line) ? " " + signed_number(line.worth.mean, kEquityDecimals)
                                   : "       -";
    }
    text += ledger.cube ? " " + signed_number(ledger.cube->mean, kEquityDecimals) : "       -";
    text += " " + signed_number(ledger.cost.mean, kEquityDecimals) + "\n";
  }
  return any ? text : std::string();
}

}  // namespace sixfold
