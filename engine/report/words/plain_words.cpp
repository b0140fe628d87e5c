#include "report/words/plain_words.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <vector>

#include "base/format.h"
#include "report/words/names.h"
#include "rules/notation.h"
#include "study/facts.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

std::string interval(const Estimate& estimate) {
  return format("{:.3f} ± {:.3f}", std::abs(estimate.mean), estimate.half_width);
}

/// How a line of the ledger is told of the play that gains it.
struct Phrase {
  const char* verb;
  const char* what;
};
constexpr std::array<Phrase, kShareCount> kPhrases{{{"wins", "games"},
                                                    {"wins", "gammons"},
                                                    {"wins", "backgammons"},
                                                    {"loses", "gammons"},
                                                    {"loses", "backgammons"}}};

std::string line_words(const LedgerLine& line, const Phrase& phrase) {
  return std::string(phrase.verb) +
         format(" {:.1f} ± {:.1f} {} ", 100.0 * std::abs(line.change.mean),
                100.0 * line.change.half_width, line.change.mean > 0.0 ? "more" : "fewer") +
         phrase.what + format(" in 100 ({:+.3f})", line.worth.mean);
}

std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == parts.size() ? " and " : ", ") + parts[i];
  }
  return text;
}

std::string points_words(const std::vector<int>& points) {
  std::vector<std::string> numbers;
  for (const int point : points) numbers.push_back(std::to_string(point));
  return "the " + joined(numbers) + (points.size() == 1 ? " point" : " points");
}

/// What one play does that the other does not.
std::string own_deeds(const PlayFacts& own, const PlayFacts& other) {
  std::vector<std::string> deeds;
  if (own.hits > other.hits) {
    deeds.push_back(own.hits > 1 ? format("hits {} checkers", own.hits) : std::string("hits"));
  }
  const std::vector<int> made = without(own.made, other.made);
  if (!made.empty()) deeds.push_back("makes " + points_words(made));
  const std::vector<int> broken = without(own.broken, other.broken);
  if (!broken.empty()) deeds.push_back("gives up " + points_words(broken));
  return joined(deeds);
}

}  // namespace

std::string verdict_words(const RolledDecision& rolled, std::size_t other) {
  assert(other > 0 && other < rolled.result.plays.size());
  const RolledPlay& play = rolled.result.plays[other];
  const Estimate& cost = play.cost;
  const std::string best = play_name(rolled, 0);
  const std::string name = play_name(rolled, other);
  if (cost.mean == 0.0 && cost.half_width == 0.0) return best + " and " + name + " are equal.";
  const auto grade = grade_of(play, rolled.grades);
  const std::string graded =
      grade ? std::string(*grade == Grade::kError ? ": an error." : ": a blunder.") : ".";
  if (play.at_least) {
    return name + format(" is behind {} by more than {:.3f}", best, *play.at_least) + graded;
  }
  if (is_open(play)) {
    return best + " and " + name + " can't be told apart: " + best + " comes out ahead by " +
           interval(cost) + ", which may be chance.";
  }
  return name + " costs " + interval(cost) + " against " + best + graded;
}

std::string reason_words(const RolledDecision& rolled, std::size_t other) {
  assert(other > 0 && other < rolled.result.plays.size());
  const Ledger ledger = ledger_of(rolled.result.plays[other], rolled.worth);
  struct Part {
    double worth;
    std::string words;
  };
  std::vector<Part> parts;
  constexpr double kWorthSaying = 0.001;
  const auto is_clear = [&](const Estimate& worth) {
    return std::abs(worth.mean) > std::max(worth.half_width, kWorthSaying);
  };
  for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
    const LedgerLine& line = ledger.lines[i];
    if (is_clear(line.worth)) parts.push_back({line.worth.mean, line_words(line, kPhrases[i])});
  }
  if (ledger.cube && is_clear(*ledger.cube)) {
    const char* const verb = ledger.cube->mean > 0.0 ? "gains " : "loses ";
    parts.push_back(
        {ledger.cube->mean, verb + interval(*ledger.cube) + " by what the cube is worth"});
  }
  std::stable_sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) {
    return std::abs(a.worth) > std::abs(b.worth);
  });
  std::vector<std::string> gains;
  std::vector<std::string> losses;
  for (const Part& part : parts) (part.worth > 0.0 ? gains : losses).push_back(part.words);
  const std::string best = play_name(rolled, 0);
  if (parts.empty()) {
    return ledger.cost.mean > ledger.cost.half_width
               ? "No single part of the difference is beyond its error; the sum is."
               : "No part of the difference is beyond its error.";
  }
  if (losses.empty()) return best + " " + joined(gains) + ".";
  if (gains.empty()) {
    return "Beyond its error is only what speaks against " + best + ": it " + joined(losses) + ".";
  }
  return best + " " + joined(gains) + "; but it " + joined(losses) + ".";
}

std::string fact_words(const Position& before, Roll roll, PlayKey best, PlayKey other) {
  // Without contact points and blots matter little, and nothing can be hit.
  if (is_race(before)) return "";
  const PlayFacts ours = play_facts(before, best);
  const PlayFacts theirs = play_facts(before, other);
  const std::string first = play_text(before, roll, best);
  const std::string second = play_text(before, roll, other);
  std::string text;
  for (const auto& [name, deeds] :
       {std::pair(first, own_deeds(ours, theirs)), std::pair(second, own_deeds(theirs, ours))}) {
    if (!deeds.empty()) text += (text.empty() ? "" : " ") + name + " " + deeds + ".";
  }
  if (ours.shots.any != theirs.shots.any && !ours.mover_wins && !theirs.mover_wins) {
    text += (text.empty() ? "" : " ") +
            format("The opponent can hit with {} of 36 rolls after ", ours.shots.any) + first +
            format(", with {} after ", theirs.shots.any) + second + ".";
  }
  return text;
}

std::string double_words(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  if (!found.double_take) return "The roller may not double.";
  const CubeCosts costs = costs_of(found);
  const OpenQuestions open = study.rolled ? open_questions(study) : OpenQuestions{};
  std::string text = std::string(open.doubling || open.taking ? "Comes out best: " : "Right: ") +
                     std::string(action_text(found.action)) + ".";
  const auto add = [&](const char* action, double cost, const Estimate* error) {
    if (cost <= 0.0) return;
    text += std::string(" ") + action + format(" costs {:.3f}", cost) +
            (error == nullptr ? std::string() : format(" ± {:.3f}", error->half_width)) + ".";
  };
  const Estimate* of_double = nullptr;
  const Estimate* of_take = nullptr;
  if (study.rolled) {
    of_take = &study.rolled->double_take->equity;
    of_double = *found.double_take < *found.double_pass ? &study.rolled->difference
                                                        : &study.rolled->no_double.equity;
  }
  if (open.doubling) {
    text += " Whether to double is open: the difference is within its error.";
  } else {
    add("Waiting", costs.no_double, of_double);
    add("Doubling", costs.doubling, of_double);
  }
  if (open.taking) return text + " Whether to take is open: the difference is within its error.";
  add("Taking a double", costs.take, of_take);
  add("Passing a double", costs.pass, of_take);
  return text;
}

std::string chance_words(double chance) {
  return chance >= 0.995 ? std::string("over 99%") : format("{:.0f}%", 100.0 * chance);
}

}  // namespace sixfold
