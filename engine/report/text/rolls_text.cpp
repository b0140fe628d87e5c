#include "report/text/rolls_text.h"

#include <span>

#include "report/text/layout.h"
#include "report/words/names.h"
#include "report/words/roll_words.h"
#include "study/deciding_rolls.h"

namespace sixfold {
namespace {

std::string row(const std::string& name, std::span<const RollPart> rolls) {
  const Estimate part = sum_of(rolls);
  const double probability = probability_of(rolls);
  return padded(name, 20) + format("{:5.0f}", kDiceOutcomes * probability) +
         format("      {:+.3f} ± {:.3f}", part.mean / probability, part.half_width / probability) +
         format("      {:+.4f} ± {:.4f}\n", part.mean, part.half_width);
}

/// Rolls with their parts: those that are shown, then all others together.
std::string table(const ShownRolls& rolls, const Estimate& difference, const char* when,
                  const char* part) {
  std::string text = padded("", 20) + "in 36      " + padded(when, 20) + part + "\n";
  for (const RollPart& one : rolls.rows) text += row(roll_text(one.roll), {&one, 1});
  if (!rolls.others.empty()) {
    text += row(format("the other {} rolls", rolls.others.size()), rolls.others);
  }
  return text + padded("all", 20) + format("{:5}", kDiceOutcomes) + padded("", 26) +
         format("{:+.4f} ± {:.4f}\n", difference.mean, difference.half_width);
}

}  // namespace

std::string rolls_text(const RolledDecision& rolled, std::size_t other) {
  const RolledPlay& play = rolled.result.plays[other];
  if (play.at_least || is_equal(play)) return "";
  const ShownRolls rolls = shown_rolls(deciding_rolls(play.by_roll, play.cost));
  const std::string words = roll_words(rolled, other);
  if (rolls.rows.empty()) return wrapped(words);
  return "What " + play_name(rolled, other) + " costs, by the opponent's next roll\n" +
         table(rolls, play.cost, "cost if it comes", "part of the cost") + wrapped(words);
}

std::string rolls_text(const CubeStudy& study) {
  const RolledDouble& rolled = *study.rolled;
  if (!rolled.double_take) return "";
  const ShownRolls rolls = shown_rolls(deciding_rolls(rolled));
  if (rolls.rows.empty()) return "";
  return "What a double that is taken gains on waiting, by the roller's next roll\n" +
         table(rolls, gain_of_doubling(rolled), "gain if it comes", "part of the gain") +
         wrapped(roll_words(study));
}

}  // namespace sixfold
