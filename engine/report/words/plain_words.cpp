#include "report/words/plain_words.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <tuple>
#include <vector>

#include "base/format.h"
#include "report/words/cube_words.h"
#include "report/words/names.h"
#include "report/words/phrases.h"
#include "rules/notation.h"
#include "study/facts.h"
#include "study/ledger.h"

namespace sixfold {
namespace {

/// How a line of the ledger is told of the play that gains it.
struct Phrase {
  const char* verb;
  const char* how;
};
constexpr std::array<Phrase, kShareCount> kPhrases{{{"wins", ""},
                                                    {"wins", " by a gammon or more"},
                                                    {"wins", " by a backgammon"},
                                                    {"loses", " by a gammon or more"},
                                                    {"loses", " by a backgammon"}}};

std::string line_words(const LedgerLine& line, const Phrase& phrase, bool is_static) {
  const std::string error =
      is_static ? std::string() : format(" ± {:.1f}", 100.0 * line.change.half_width);
  return std::string(phrase.verb) +
         format(" {:.1f}{} {} games in 100{} ({:+.3f})", 100.0 * std::abs(line.change.mean), error,
                line.change.mean > 0.0 ? "more" : "fewer", phrase.how, line.worth.mean);
}

/// What speaks for the best play and against it, the most important part first.
struct Reasons {
  std::vector<std::string> gains;
  std::vector<std::string> losses;
};
Reasons reasons_of(const Ledger& ledger, bool is_static) {
  struct Part {
    double worth;
    std::string words;
  };
  std::vector<Part> parts;
  constexpr double kWorthSaying = 0.001;
  const auto is_clear = [&](const Estimate& worth) {
    return std::abs(worth.mean) > std::max(is_static ? 0.0 : worth.half_width, kWorthSaying);
  };
  for (std::size_t i = 0; i < ledger.lines.size(); ++i) {
    const LedgerLine& line = ledger.lines[i];
    if (!is_clear(line.worth)) continue;
    parts.push_back({line.worth.mean, line_words(line, kPhrases[i], is_static)});
  }
  if (ledger.cube && is_clear(*ledger.cube)) {
    const std::string amount =
        is_static ? format("{:.3f}", std::abs(ledger.cube->mean)) : interval_words(*ledger.cube);
    parts.push_back({ledger.cube->mean, (ledger.cube->mean > 0.0 ? "gains " : "loses ") + amount +
                                            " by what the cube is worth"});
  }
  std::stable_sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) {
    return std::abs(a.worth) > std::abs(b.worth);
  });
  Reasons reasons;
  for (const Part& part : parts) {
    (part.worth > 0.0 ? reasons.gains : reasons.losses).push_back(part.words);
  }
  return reasons;
}

/// A point by the name that it has, for the mover.
std::string point_words(int point) {
  constexpr int kBarPoint = 7;
  constexpr int kMidpoint = 13;
  if (point == kBarPoint) return "the bar point";
  if (point == kMidpoint) return "the midpoint";
  if (point == mirrored(kBarPoint)) return "the opponent's bar point";
  return (point >= kFarHome ? "the anchor on " : "the ") + std::to_string(point) +
         (point >= kFarHome ? "" : " point");
}

std::string points_words(const std::vector<int>& points) {
  std::vector<std::string> names;
  for (const int point : points) names.push_back(point_words(point));
  return joined(names);
}

std::string numbers_words(const std::vector<int>& points) {
  std::vector<std::string> numbers;
  for (const int point : points) numbers.push_back(std::to_string(point));
  return joined(numbers);
}

/// What one play does that the other does not.
std::string own_deeds(const PlayFacts& own, const PlayFacts& other) {
  constexpr int kLongPrime = 4;
  std::vector<std::string> deeds;
  const auto add = [&](const char* verb, const std::string& what) {
    if (!what.empty()) deeds.push_back(verb + what);
  };
  const std::vector<int> own_hits = without(own.hit_on, other.hit_on);
  add(own_hits.size() < own.hit_on.size() ? "also hits on " : "hits on ", numbers_words(own_hits));
  add("makes ", points_words(without(own.made, other.made)));
  if (own.mover.prime.length >= kLongPrime && own.mover.prime.length > other.mover.prime.length) {
    add("has a prime of ", format("{} points", own.mover.prime.length));
  }
  if (own.mover.back == 0 && other.mover.back > 0) deeds.push_back("leaves no checker back");
  if (own.splits_back && !other.splits_back) deeds.push_back("splits the back checkers");
  add("gives up ", points_words(without(own.broken, other.broken)));
  return joined(deeds);
}

/// "with 11 of 36 rolls (9 at the back checkers, 4 at others)".
std::string shots_words(const PlayFacts& facts) {
  std::string text = format("with {} of 36 rolls", facts.shots.any);
  if (facts.shots_at_back > 0 && facts.shots_at_others > 0) {
    text += format(" ({} at the back checkers, {} at others)", facts.shots_at_back,
                   facts.shots_at_others);
  } else if (facts.shots_at_back > 0) {
    text += " (all at the back checkers)";
  }
  return text;
}

}  // namespace

std::string verdict_words(const RolledDecision& rolled, std::size_t other) {
  assert(other > 0 && other < rolled.result.plays.size());
  const RolledPlay& play = rolled.result.plays[other];
  const Estimate& cost = play.cost;
  const std::string best = play_name(rolled, 0);
  const std::string name = play_name(rolled, other);
  if (is_equal(play)) return best + " and " + name + " are equal.";
  const auto grade = grade_of(play, rolled.grades);
  const std::string graded =
      grade ? std::string(*grade == Grade::kError ? ": an error." : ": a blunder.") : ".";
  if (play.at_least) {
    return name + " is behind " + best + " by more than " + bound_text(*play.at_least, 3) +
           cost_in_games(rolled.decision, *play.at_least, true) + graded;
  }
  if (is_open(play)) {
    return best + " and " + name + " can't be told apart: " + best + " comes out ahead by " +
           interval_words(cost) + ", which may be chance.";
  }
  return name + " costs " + interval_words(cost) + " against " + best +
         cost_in_games(rolled.decision, cost.mean) + graded;
}

std::string reason_words(const RolledDecision& rolled, std::size_t other) {
  assert(other > 0 && other < rolled.result.plays.size());
  const Ledger ledger = ledger_of(rolled.result.plays[other], rolled.worth);
  const auto [gains, losses] = reasons_of(ledger, false);
  const std::string best = play_name(rolled, 0);
  if (gains.empty() && losses.empty()) {
    return ledger.cost.mean > ledger.cost.half_width
               ? "No single part of the difference is beyond its error; the sum is."
               : "";
  }
  if (losses.empty()) return best + " " + joined(gains) + ".";
  if (gains.empty()) {
    return "Beyond its error is only what speaks against " + best + ": it " + joined(losses) + ".";
  }
  return best + " " + joined(gains) + "; but it " + joined(losses) + ".";
}

std::string static_reason_words(const Decision& decision, const EvaluatedPlay& best,
                                const EvaluatedPlay& other) {
  const auto [gains, losses] = reasons_of(static_ledger(decision, best, other), true);
  if (gains.empty()) return "";
  return play_text(decision.position, *decision.roll, best.play) + " " + joined(gains) +
         (losses.empty() ? "." : "; but it " + joined(losses) + ".");
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
  const bool differ = std::tie(ours.shots, ours.shots_at_back, ours.shots_at_others) !=
                      std::tie(theirs.shots, theirs.shots_at_back, theirs.shots_at_others);
  if (differ && !ours.mover_wins && !theirs.mover_wins) {
    text += std::string(text.empty() ? "" : " ") + "The opponent can hit " + shots_words(ours) +
            " after " + first + ", " + shots_words(theirs) + " after " + second + ".";
  }
  return text;
}

std::string double_words(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  if (!found.double_take) {
    return "The roller may not double: " + no_double_reason(study.decision) + ".";
  }
  const CubeCosts costs = costs_of(found);
  const CubeErrors errors = cube_errors(study);
  const OpenQuestions open = study.rolled ? open_questions(study) : OpenQuestions{};
  std::string text = std::string(open.doubling || open.taking ? "Comes out best: " : "Right: ") +
                     action_words(found) + ".";
  const auto add = [&](const char* action, double cost, const std::optional<double>& error) {
    if (cost <= 0.0) return;
    text += std::string(" ") + action + format(" costs {:.3f}", cost) +
            (error ? format(" ± {:.3f}", *error) : std::string()) +
            cost_in_games(study.decision, cost) + ".";
  };
  if (open.doubling) {
    text += " Whether to double is open: the difference is within its error.";
  } else {
    add("Waiting", costs.no_double, errors.doubling);
    add("Doubling", costs.doubling, errors.doubling);
  }
  if (open.taking) return text + " Whether to take is open: the difference is within its error.";
  add("Taking a double", costs.take, errors.taking);
  add("Passing a double", costs.pass, errors.taking);
  return text;
}

std::string chance_words(double chance) {
  return chance >= 0.995 ? std::string("over 99%") : format("{:.0f}%", 100.0 * chance);
}

}  // namespace sixfold
