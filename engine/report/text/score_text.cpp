#include "report/text/score_text.h"

#include <algorithm>
#include <optional>

#include "base/format.h"
#include "report/text/layout.h"
#include "study/score_study.h"

namespace sixfold {
namespace {

std::string take_cells(const std::optional<TakePoint>& point) {
  if (!point) return padded("  none", 15);
  return percent(point->live) + format(" ({:4.1f}%)", 100.0 * point->dead);
}

std::string cell(double chance) { return format("{:3.0f}", std::clamp(100.0 * chance, 1.0, 99.0)); }

}  // namespace

std::string match_table_text(const MatchEquityTable& table) {
  std::string text =
      "Chances to win the match in per cent, by points to go; 1 is the Crawford game.\n"
      "99 and 1 stand for what is beyond them too.\n\n   ";
  for (int other = 1; other <= table.most_away(); ++other) text += format("{:3}", other);
  for (int away = 1; away <= table.most_away(); ++away) {
    text += format("\n{:2} ", away);
    for (int other = 1; other <= table.most_away(); ++other) {
      text += cell(table.chance(away, other));
    }
  }
  text += "\n\nThe trailer after the Crawford game\n\n   ";
  for (int away = 1; away <= table.most_away(); ++away) {
    text += cell(table.after_crawford(away));
  }
  return text + "\n";
}

std::string score_text(const Score& score) {
  std::string text = "Score     " + score.name + "\n\n";
  text += "      gammon price         take point (with a dead cube)\n";
  text += "cube  roller  opponent     roller          opponent\n";
  for (const ScoreAtCube& at : study_score(score)) {
    text += format("{:4}  {:6.3f}  {:8.3f}    ", at.cube, at.prices.own, at.prices.opponents) +
            take_cells(at.take_points.roller) + " " + take_cells(at.take_points.opponent);
    text.erase(text.find_last_not_of(' ') + 1);
    text += "\n";
  }
  return text + "\n" +
         wrapped(format(
             "Take point: the least chance to win with which a double from this value of the cube "
             "is taken. It assumes that of the wins of either side {:.1f}% are by a gammon or more "
             "({:.1f}% by a backgammon); fewer gammons of the doubler's make it lower. The first "
             "figure takes the cube to be live by {:.2f}, where 1 is as live as can be; the one in "
             "brackets is for a dead cube, one that is never turned again. Gammon price: what a "
             "gammon is worth beyond a single win, as a part of what a win is worth against a "
             "loss.",
             100.0 * kMatchModel.gammon_share, 100.0 * kMatchModel.backgammon_share,
             kMatchModel.cube_life));
}

}  // namespace sixfold
