#include "report/words/flip_words.h"

#include "base/format.h"
#include "rules/notation.h"

namespace sixfold {

std::string play_name(const FlipStudy& study, std::size_t play) {
  return play_text(study.position, study.roll, study.flip.plays()[play]);
}

std::string flip_words(const FlipStudy& study, const Telling& telling) {
  return format(
             "A small letter: the lead is within its {:g}% interval. Prices are what a "
             "gammon is worth beyond a single win, in units of a win against a loss. ",
             100.0 * study.settings.confidence) +
         format(
             "{} trials of each of {} plays at each corner of the plane, whose players adapt "
             "to the prices; between the corners outcomes are taken to change bilinearly, "
             "which the last table checks. The cube is left out. Seed {}, ",
             whole_blocks(study.settings.trials), study.looked_at, study.settings.seed) +
         nets_words(telling.made_by) + format(". {:.1f} seconds.", telling.seconds);
}

std::string break_even_words(const FlipStudy& study, bool own_price) {
  const BreakEven found = study.flip.break_even(0, 1, own_price);
  const std::string whose = own_price ? "roller's" : "opponent's";
  const std::string plays = play_name(study, 0) + " and " + play_name(study, 1);
  const std::string rest = own_price ? "opponent's" : "roller's";
  const std::string where = " gammons, the " + rest + " being 0.5";
  std::string ranges;
  for (const BreakEven::Stretch& stretch : found.open) {
    ranges += (ranges.empty() ? "" : ", ") + format("{:.2f} to {:.2f}", stretch.low, stretch.high);
  }
  if (found.open.size() == 1 && found.open[0].low <= 0.0 && found.open[0].high >= 1.0) {
    return plays + " can't be told apart at any price of the " + whose + where + ".";
  }
  const std::string equal =
      found.price ? format(" are equal at {:.2f} for the ", *found.price) + whose + where
                  : " are equal at no price from 0 to 1 of the " + whose + where;
  return plays + equal + (ranges.empty() ? "." : "; they can't be told apart at " + ranges + ".");
}

}  // namespace sixfold
