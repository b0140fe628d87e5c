#include "report/words/warnings.h"

#include "base/format.h"

namespace sixfold {
namespace {

/// It happens to those who are hit after they have begun to bear off, and to those who mistype.
void warn_of_borne_off(std::vector<std::string>& warnings, const char* whose, const Side& side) {
  const int off = side.borne_off();
  if (off == 0 || side.sum(kHomePoints + 1) == 0) return;
  warnings.push_back(
      format("{} has {} of {} checkers on the board, not all in its home board; those not listed "
             "count as borne off, as they are only after a hit during the bear-off.",
             whose, side.total() - off, side.total()));
}

/// Whoever hit last has entered with that very checker if he is on the bar himself; and it is still
/// where it hit, since nobody moves before all have entered.
bool both_on_bar_for_no_reason(const Position& position) {
  const auto may_have_hit = [](const Side& side) { return side.sum(kFarHome) > side[kBar]; };
  return position.roller[kBar] > 0 && position.opponent[kBar] > 0 &&
         !may_have_hit(position.roller) && !may_have_hit(position.opponent);
}

}  // namespace

std::vector<std::string> position_warnings(const Position& position) {
  std::vector<std::string> warnings;
  warn_of_borne_off(warnings, "The side on roll", position.roller);
  warn_of_borne_off(warnings, "The opponent", position.opponent);
  if (both_on_bar_for_no_reason(position)) {
    warnings.emplace_back(
        "Both sides are on the bar though neither has a checker in the other's home board: no game "
        "leads there, since the one who hit last has entered there.");
  }
  return warnings;
}

}  // namespace sixfold
