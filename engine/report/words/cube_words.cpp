#include "report/words/cube_words.h"

#include <cassert>
#include <cmath>

#include "base/format.h"
#include "report/words/notes.h"

namespace sixfold {
namespace {

bool is_crawford(const Score& score) {
  return score.away && score.away->phase == MatchPhase::kCrawford;
}

/// Whether nobody can make use of the cube any more.
bool is_dead(const Decision& decision) {
  const Stake& stake = stakes_from(decision.score, *decision.cube).front();
  return (decision.cube->owner == CubeOwner::kOpponent || !stake.roller_may_double) &&
         (decision.cube->owner == CubeOwner::kRoller || !stake.opponent_may_double);
}

}  // namespace

const char* wait_name() noexcept { return "wait"; }

const char* take_name(const CubeDecision& decision) noexcept {
  return decision.is_beavered ? "double, he beavers" : "double, he takes";
}

const char* pass_name() noexcept { return "double, he passes"; }

std::vector<CubeWay> ways_of(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  const RolledDouble* const rolled = study.rolled ? &*study.rolled : nullptr;
  std::vector<CubeWay> ways{
      {wait_name(), "no_double", found.no_double, rolled ? &rolled->no_double.equity : nullptr}};
  if (found.double_take) {
    ways.push_back({take_name(found), "double_take", *found.double_take,
                    rolled ? &rolled->double_take->equity : nullptr});
    ways.push_back({pass_name(), "double_pass", *found.double_pass, nullptr});
  }
  return ways;
}

const char* sureness_words(const CubeStudy& study) {
  if (study.is_exact) return "exact";
  if (!study.rolled) return "by the model";
  const OpenQuestions open = open_questions(study);
  return open.doubling || open.taking ? "open" : "settled";
}

std::string cube_state_words(const Decision& decision) {
  if (!decision.cube) {
    return is_cube_alive(decision.score) ? "left out" : "none: nobody may double at this score";
  }
  const std::string words = cube_words(*decision.cube, decision.money);
  if (is_crawford(decision.score)) return words + ", out of use in the Crawford game";
  return is_dead(decision) ? words + ", of no more use to anybody at this score" : words;
}

std::string no_double_reason(const Decision& decision) {
  assert(decision.cube);
  const Cube& cube = *decision.cube;
  if (cube.owner == CubeOwner::kOpponent) return "the cube is the opponent's";
  if (is_crawford(decision.score)) return "in the Crawford game nobody doubles";
  if (decision.score.away && decision.score.away->roller_away <= cube.value) {
    return cube.value == 1
               ? std::string("any win already gives him the match")
               : format("any win with the cube at {} already gives him the match", cube.value);
  }
  return "the cube has come to its limit";
}

std::string cost_in_games(const Decision& decision, double cost, bool at_least) {
  constexpr double kMostGames = 10'000.0;
  const bool is_match = decision.score.match.has_value();
  // At money equity is told for each unit of the cube.
  const int value = decision.cube ? decision.cube->value : 1;
  const double lost = cost * match_slope(decision).value_or(value);
  if (lost * kMostGames < 1.0) return "";
  // A bound stays one: it is rounded to more games.
  const double games = at_least ? std::ceil(1.0 / lost - 1e-9) : std::round(1.0 / lost);
  if (games < 2.0) return "";
  return std::string(at_least ? ", at least " : ", ") + (is_match ? "a match in " : "a point in ") +
         format("{:.0f}", games) + (is_match ? "" : " games");
}

std::string match_percent(const Estimate& chance) {
  return format("{:.2f}%", 100.0 * chance.mean) +
         (chance.half_width > 0.0 ? format(" ± {:.2f}", 100.0 * chance.half_width) : std::string());
}

std::string match_words(const CubeStudy& study) {
  if (!study.decision.score.match) return "";
  std::string text;
  for (const CubeWay& way : ways_of(study)) {
    Estimate equity = way.rolled == nullptr ? Estimate{} : *way.rolled;
    equity.mean = way.equity;
    text += (text.empty() ? "The roller's chance to win the match: " : "; ") +
            std::string(way.name) + " " + match_percent(*match_chance(study.decision, equity));
  }
  return text + ".";
}

CubeErrors cube_errors(const CubeStudy& study) {
  const CubeDecision& found = study.equities;
  assert(found.double_take);
  if (!study.rolled) return {};
  const RolledDouble& rolled = *study.rolled;
  return {*found.double_take < *found.double_pass ? rolled.difference.half_width
                                                  : rolled.no_double.equity.half_width,
          rolled.double_take->equity.half_width};
}

std::string action_words(const CubeDecision& decision) {
  switch (decision.action) {
    case CubeAction::kDoubleTake:
      return take_name(decision);
    case CubeAction::kDoublePass:
      return pass_name();
    case CubeAction::kTooGood:
      return "wait, being too good to double";
    case CubeAction::kNoDouble:
      break;
  }
  return wait_name();
}

}  // namespace sixfold
