#include "report/text/ledger_text.h"

#include <cmath>

#include "base/format.h"
#include "report/text/layout.h"
#include "report/words/names.h"

namespace sixfold {
namespace {

/// To four decimals; what rounds to zero has no sign of its own.
double to_four_decimals(double value) { return std::round(value * 1e4) / 1e4 + 0.0; }

}  // namespace

std::string ledger_text(const Ledger& ledger, const std::string& best, const std::string& other) {
  std::string text = "What " + best + " gains on " + other + "\n";
  text += padded("", 18) + "games in 100       worth each   equity\n";
  for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
    const LedgerLine& line = ledger.lines[i];
    text += padded(kShareWords[i], 18) +
            format("%+6.2f ± %-5.2f  x  %+7.3f   =  %+.4f ± %.4f\n", 100.0 * line.change.mean,
                   100.0 * line.change.half_width, line.price, to_four_decimals(line.worth.mean),
                   line.worth.half_width);
  }
  const auto sum_line = [](const char* name, const Estimate& estimate) {
    return padded(name, 45) +
           format("%+.4f ± %.4f\n", to_four_decimals(estimate.mean), estimate.half_width);
  };
  if (ledger.cube) text += sum_line("the cube", *ledger.cube);
  return text + sum_line("cost", ledger.cost);
}

std::string ledger_rows(const std::vector<const RolledDecision*>& cells) {
  constexpr std::size_t kNameWidth = 22;
  std::string text = "What the best play gains on the runner-up, in equity\n" +
                     padded("by", kNameWidth + 1) +
                     "  wins   won g  won bg  lost g lost bg    cube    cost\n";
  bool any = false;
  for (const RolledDecision* cell : cells) {
    if (cell->result.plays.size() < 2) continue;
    any = true;
    const Ledger ledger = ledger_of(cell->result.plays[1], cell->worth);
    // A long name gets a line of its own.
    const std::string& name = cell->decision.score.name;
    text +=
        name.size() < kNameWidth ? padded(name, kNameWidth) : name + "\n" + padded("", kNameWidth);
    for (const LedgerLine& line : ledger.lines)
      text += format(" %+.4f", to_four_decimals(line.worth.mean));
    text += ledger.cube ? format(" %+.4f", to_four_decimals(ledger.cube->mean))
                        : std::string("       -");
    text += format(" %+.4f\n", to_four_decimals(ledger.cost.mean));
  }
  return any ? text : std::string();
}

}  // namespace sixfold
