#include "study/plain_words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "rules/format.h"
#include "rules/notation.h"
#include "study/facts.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

std::string name_of(const RolledDecision& rolled, std::size_t play) {
  return play_text(rolled.decision.position, *rolled.decision.roll, rolled.result.plays[play].play);
}

std::string interval(const Estimate& estimate) {
  return format("%.3f ± %.3f", std::abs(estimate.mean), estimate.half_width);
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
         format(" %.1f ± %.1f %s ", 100.0 * std::abs(line.change.mean),
                100.0 * line.change.half_width, line.change.mean > 0.0 ? "more" : "fewer") +
         phrase.what + format(" in 100 (%+.3f)", line.worth.mean);
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
  if (own.hits > other.hits) deeds.emplace_back(own.hits > 1 ? "hits twice" : "hits");
  const auto extra = [](const std::vector<int>& points, const std::vector<int>& others) {
    std::vector<int> left;
    for (const int point : points) {
      if (std::find(others.begin(), others.end(), point) == others.end()) left.push_back(point);
    }
    return left;
  };
  const std::vector<int> made = extra(own.made, other.made);
  if (!made.empty()) deeds.push_back("makes " + points_words(made));
  const std::vector<int> broken = extra(own.broken, other.broken);
  if (!broken.empty()) deeds.push_back("gives up " + points_words(broken));
  return joined(deeds);
}

}  // namespace

std::string verdict_words(const RolledDecision& rolled, std::size_t other) {
  const Estimate& cost = rolled.result.plays[other].cost;
  const std::string best = name_of(rolled, 0);
  const std::string name = name_of(rolled, other);
  const double least = cost.mean - cost.half_width;
  if (least <= 0.0) {
    return best + " and " + name + " can't be told apart: " + best + " comes out ahead by " +
           interval(cost) + ", which may be chance.";
  }
  const std::string lead = name + " costs " + interval(cost) + " against " + best;
  const Verdict verdict = verdict_of(false, cost, rolled.thresholds);
  if (verdict == Verdict::kClose) return lead + ": a small difference, but beyond its error.";
  const std::string word = verdict == Verdict::kBlunder ? "a blunder" : "an error";
  const double threshold =
      verdict == Verdict::kBlunder ? rolled.thresholds.blunder : rolled.thresholds.error;
  if (least >= threshold) return lead + ": " + word + ".";
  return lead + ": worse for certain at this confidence, and by its mean " + word + ".";
}

std::string reason_words(const RolledDecision& rolled, std::size_t other) {
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
    parts.push_back(
        {ledger.cube->mean, format("gains %+.3f by what the cube is worth", ledger.cube->mean)});
  }
  std::stable_sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) {
    return std::abs(a.worth) > std::abs(b.worth);
  });
  std::vector<std::string> gains;
  std::vector<std::string> losses;
  for (const Part& part : parts) (part.worth > 0.0 ? gains : losses).push_back(part.words);
  const std::string best = name_of(rolled, 0);
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
  const PlayFacts ours = play_facts(before, best);
  const PlayFacts theirs = play_facts(before, other);
  const std::string first = play_text(before, roll, best);
  const std::string second = play_text(before, roll, other);
  std::string text;
  for (const auto& [name, deeds] :
       {std::pair(first, own_deeds(ours, theirs)), std::pair(second, own_deeds(theirs, ours))}) {
    if (!deeds.empty()) text += (text.empty() ? "" : " ") + name + " " + deeds + ".";
  }
  if (ours.shots.any != theirs.shots.any) {
    text += (text.empty() ? "" : " ") +
            format("The opponent hits with %d of 36 rolls after ", ours.shots.any) + first +
            format(", with %d after ", theirs.shots.any) + second + ".";
  }
  return text;
}

std::string double_words(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  if (!found.double_take) return "The roller may not double.";
  const CubeCosts costs = costs_of(found);
  const OpenQuestions open = study.rolled ? open_questions(study) : OpenQuestions{};
  const bool is_open = open.doubling || open.taking;
  std::string text = std::string(is_open ? "Comes out best: " : "Right: ") +
                     std::string(action_text(found.action)) + ".";
  if (costs.no_double > 0.0) text += format(" Waiting costs %.3f.", costs.no_double);
  if (costs.doubling > 0.0) text += format(" Doubling costs %.3f.", costs.doubling);
  if (costs.take > 0.0) text += format(" Taking a double costs %.3f.", costs.take);
  if (costs.pass > 0.0) text += format(" Passing a double costs %.3f.", costs.pass);
  if (open.doubling) text += " Whether to double is open: the difference is within its error.";
  if (open.taking) text += " Whether to take is open: the difference is within its error.";
  return text;
}

}  // namespace sixfold
