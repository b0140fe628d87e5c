#include "study/ledger.h"

#include <cmath>

#include "base/format.h"
#include "study/text_layout.h"

namespace sixfold {
namespace {

constexpr std::array<const char*, kShareCount> kNames{"wins", "gammons won", "backgammons won",
                                                      "gammons lost", "backgammons lost"};

/// To four decimals; what rounds to zero has no sign of its own.
double to_four_decimals(double value) { return std::round(value * 1e4) / 1e4 + 0.0; }

/// What one more game of a kind is worth: that of its outcomes less that of the kind around it.
double price_of(ShareOf share, const OutcomeWorth& worth) {
  switch (share) {
    case ShareOf::kWins:
      return worth[3] - worth[2];
    case ShareOf::kGammonsWon:
      return worth[4] - worth[3];
    case ShareOf::kBackgammonsWon:
      return worth[5] - worth[4];
    case ShareOf::kGammonsLost:
      return worth[1] - worth[2];
    case ShareOf::kBackgammonsLost:
      break;
  }
  return worth[0] - worth[1];
}

}  // namespace

Ledger ledger_of(const RolledPlay& play, const OutcomeWorth& worth) {
  Ledger ledger{{}, std::nullopt, play.cost};
  for (std::size_t i = 0; i < kShareCount; ++i) {
    const double price = price_of(static_cast<ShareOf>(i), worth);
    const Estimate& change = play.shares[i];
    ledger.lines[i] = {kNames[i],
                       change,
                       price,
                       {change.mean * price + 0.0, change.standard_error * std::abs(price),
                        change.half_width * std::abs(price), change.blocks}};
  }
  if (!play.cube) return ledger;
  // What is left of the cost: settling rare outcomes has moved the other lines a little.
  ledger.cube = play.cube->added;
  double left = ledger.cost.mean;
  for (const LedgerLine& line : ledger.lines) left -= line.worth.mean;
  ledger.cube->half_width += std::abs(left - ledger.cube->mean);
  ledger.cube->mean = left;
  return ledger;
}

std::string ledger_text(const Ledger& ledger, const std::string& best, const std::string& other) {
  std::string text = "What " + best + " gains on " + other + "\n";
  text += padded("", 18) + "games in 100       worth each   equity\n";
  for (const LedgerLine& line : ledger.lines) {
    text += padded(line.name, 18) + format("%+6.2f ± %-5.2f  x  %+7.3f   =  %+.4f ± %.4f\n",
                                           100.0 * line.change.mean, 100.0 * line.change.half_width,
                                           line.price, to_four_decimals(line.worth.mean),
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
