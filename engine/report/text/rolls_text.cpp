#include "report/text/rolls_text.h"

#include <algorithm>
#include <span>

#include "report/text/layout.h"
#include "report/words/names.h"
#include "report/words/roll_words.h"
#include "study/deciding_rolls.h"

namespace sixfold {
namespace {

constexpr std::size_t kMostRows = 8;
/// Rows that are kept for rolls of the other sign.
constexpr std::size_t kLeastContra = 2;

std::string row(const std::string& name, std::span<const RollPart> rolls) {
  const Estimate part = sum_of(rolls);
  const double probability = probability_of(rolls);
  return padded(name, 20) + format("{:5.0f}", kDiceOutcomes * probability) +
         format("      {:+.3f} ± {:.3f}", part.mean / probability, part.half_width / probability) +
         format("      {:+.4f} ± {:.4f}\n", part.mean, part.half_width);
}

/// Rolls with their parts: those that are beyond their intervals, then all others together.
std::string table(const DecidingRolls& rolls, const Estimate& difference, const char* when,
                  const char* part) {
  const std::size_t contra =
      std::min(rolls.contra.size(),
               std::max(kLeastContra, kMostRows - std::min(kMostRows, rolls.pro.size())));
  const std::size_t pro = std::min(rolls.pro.size(), kMostRows - contra);
  std::vector<RollPart> others = rolls.others;
  others.insert(others.end(), rolls.pro.begin() + static_cast<std::ptrdiff_t>(pro),
                rolls.pro.end());
  others.insert(others.end(), rolls.contra.begin() + static_cast<std::ptrdiff_t>(contra),
                rolls.contra.end());
  std::string text = padded("", 20) + "in 36      " + padded(when, 20) + part + "\n";
  for (std::size_t i = 0; i < pro; ++i) {
    text += row(roll_text(rolls.pro[i].roll), {&rolls.pro[i], 1});
  }
  for (std::size_t i = 0; i < contra; ++i) {
    text += row(roll_text(rolls.contra[i].roll), {&rolls.contra[i], 1});
  }
  if (!others.empty()) {
    text += row(format("the other {} rolls", others.size()), others);
  }
  return text + padded("all", 20) + format("{:5}", kDiceOutcomes) + padded("", 26) +
         format("{:+.4f} ± {:.4f}\n", difference.mean, difference.half_width);
}

}  // namespace

std::string rolls_text(const RolledDecision& rolled, std::size_t other) {
  const RolledPlay& play = rolled.result.plays[other];
  if (play.at_least || (play.cost.mean == 0.0 && play.cost.half_width == 0.0)) return "";
  const DecidingRolls rolls = deciding_rolls(play.by_roll, play.cost);
  const std::string words = roll_words(rolled, other);
  if (rolls.pro.empty() && rolls.contra.empty()) return words.empty() ? "" : wrapped(words);
  return "What " + play_name(rolled, other) + " costs, by the opponent's next roll\n" +
         table(rolls, play.cost, "cost if it comes", "part of the cost") +
         (words.empty() ? "" : wrapped(words));
}

std::string rolls_text(const CubeStudy& study) {
  const RolledDouble& rolled = *study.rolled;
  if (!rolled.double_take) return "";
  const DecidingRolls rolls = deciding_rolls(rolled);
  if (rolls.pro.empty() && rolls.contra.empty()) return "";
  return "What a double that is taken gains on waiting, by the roller's next roll\n" +
         table(rolls, gain_of_doubling(rolled), "gain if it comes", "part of the gain") +
         wrapped(roll_words(study));
}

}  // namespace sixfold
