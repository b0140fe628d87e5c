#include "report/words/roll_words.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <span>
#include <vector>

#include "base/format.h"
#include "report/words/names.h"
#include "report/words/phrases.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Rolls that a sentence names.
constexpr std::size_t kMostNamed = 4;
/// Shares of a difference that are known less well than this are not told as fractions.
constexpr double kVague = 0.2;

std::string family_name(int number) {
  constexpr std::array kNames{"doubles", "ones", "twos", "threes", "fours", "fives", "sixes"};
  return kNames[static_cast<std::size_t>(number)];
}

/// "66, 64 and 61", the first of the rolls; "66, 64 and 5 others".
std::string listed(std::span<const RollPart> rolls, bool count_others) {
  const std::size_t named = std::min(rolls.size(), kMostNamed);
  std::vector<std::string> names;
  for (const RollPart& one : rolls.first(named)) names.push_back(roll_text(one.roll));
  const std::size_t others = count_others ? rolls.size() - named : 0;
  if (others > 0) names.push_back(format("{} {}", others, others == 1 ? "other" : "others"));
  return joined(names);
}

std::string in_a_row(const std::vector<RollPart>& rolls) {
  std::string text;
  for (const RollPart& one : rolls) text += (text.empty() ? "" : " ") + roll_text(one.roll);
  return text;
}

/// How much of a whole: "About two thirds of the difference".
std::string fraction_words(const Estimate& part, double whole) {
  const double share = part.mean / whole;
  if (part.mean - part.half_width > whole) return "More than the whole difference";
  if (part.half_width > kVague * whole) return "Much of the difference";
  if (share > 0.95) return "About the whole difference";
  if (share > 0.85) return "Nearly all of the difference";
  return std::string(share > 0.71   ? "About three quarters"
                     : share > 0.58 ? "About two thirds"
                     : share > 0.41 ? "About half"
                     : share > 0.29 ? "About a third"
                                    : "About a quarter") +
         " of the difference";
}

std::string decided_by(const Estimate& part, double whole, const std::string& rolls) {
  return fraction_words(part, whole) + ", " + interval_words(part) +
         format(" of {:.{}f}, is what ", whole, equity_decimals(part)) + rolls + ".";
}

/// What the cost is made of, where it is beyond its interval.
std::string pro_words(const DecidingRolls& rolls, const Estimate& cost) {
  if (rolls.family) {
    std::vector<RollPart> clear;
    for (const RollPart& one : rolls.family->rolls) {
      if (one.part.mean > one.part.half_width) clear.push_back(one);
    }
    const std::string above_all = clear.empty() ? "" : ", above all " + listed(clear, false);
    return decided_by(sum_of(rolls.family->rolls), cost.mean,
                      "the opponent's " + family_name(rolls.family->number) + " do" + above_all);
  }
  if (rolls.pro.empty()) return "No single roll of the opponent makes the difference.";
  const std::span<const RollPart> first(rolls.pro.data(), std::min(rolls.pro.size(), kMostNamed));
  const Estimate sum = sum_of(first);
  // More than a quarter, and half as much again as so many rolls would have if all were alike.
  const bool stand_out = sum.mean - sum.half_width > 0.25 * cost.mean &&
                         sum.mean > 1.5 * probability_of(first) * cost.mean;
  if (stand_out) {
    constexpr std::array<const char*, kMostNamed> kCounts{"one roll", "two rolls", "three rolls",
                                                          "four rolls"};
    return decided_by(sum, cost.mean,
                      std::string(kCounts[first.size() - 1]) + " of the opponent" +
                          (first.size() == 1 ? " does: " : " do: ") + listed(first, false));
  }
  return std::string("The difference is spread over many rolls of the opponent; the dearest ") +
         (first.size() == 1 ? "is " : "are ") + listed(first, false) + ".";
}

}  // namespace

ShownRolls shown_rolls(const DecidingRolls& rolls) {
  constexpr std::size_t kMostRows = 8;
  constexpr std::size_t kLeastContra = 2;  // Rows that are kept for them.
  const std::size_t contra =
      std::min(rolls.contra.size(),
               std::max(kLeastContra, kMostRows - std::min(kMostRows, rolls.pro.size())));
  const std::size_t pro = std::min(rolls.pro.size(), kMostRows - contra);
  ShownRolls shown{{}, rolls.others};
  const auto add = [&](const std::vector<RollPart>& those, std::size_t most) {
    for (std::size_t i = 0; i < those.size(); ++i) {
      (i < most ? shown.rows : shown.others).push_back(those[i]);
    }
  };
  add(rolls.pro, pro);
  add(rolls.contra, contra);
  return shown;
}

std::string roll_words(const RolledDecision& rolled, std::size_t other) {
  assert(other > 0 && other < rolled.result.plays.size());
  const RolledPlay& play = rolled.result.plays[other];
  if (play.at_least) return "";
  const DecidingRolls rolls = deciding_rolls(play.by_roll, play.cost);
  if (rolls.pro.empty() && rolls.contra.empty() && !rolls.family) return "";
  const std::string name = play_name(rolled, other);
  if (is_open(play)) {
    if (rolls.pro.empty() || rolls.contra.empty()) return "";
    return "It depends on the opponent's roll: after " + listed(rolls.pro, true) + " " +
           play_name(rolled, 0) + " is better, after " + listed(rolls.contra, true) + " " + name +
           ".";
  }
  std::string text = pro_words(rolls, play.cost);
  if (!rolls.contra.empty()) {
    text += " After " + listed(rolls.contra, true) + " " + name + " is better.";
  }
  return text;
}

std::string roll_words(const CubeStudy& study) {
  assert(study.rolled);
  const RolledDouble& rolled = *study.rolled;
  if (!rolled.double_take) return "";
  const DecidingRolls rolls = deciding_rolls(rolled);
  const auto words = [](const char* verb, const std::vector<RollPart>& those) {
    return verb + interval_words(sum_of(those)) + " with " + listed(those, true);
  };
  std::string text;
  if (!rolls.pro.empty()) text = words("gains ", rolls.pro);
  if (!rolls.contra.empty()) {
    text += (text.empty() ? "" : ", and ") + words("loses ", rolls.contra);
  }
  return text.empty() ? "" : "Against waiting, a double that is taken " + text + ".";
}

std::string dearest_rolls(const RolledPlay& play) {
  return in_a_row(deciding_rolls(play.by_roll, play.cost).pro);
}

std::string gaining_rolls(const CubeStudy& study) {
  return in_a_row(deciding_rolls(*study.rolled).pro);
}

}  // namespace sixfold
