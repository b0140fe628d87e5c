/// What is said of the cube, of doubling decisions, and of chances to win the match.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "study/cube_study.h"
#include "study/decision.h"

namespace sixfold {

/// The three ways to go on, as they are called everywhere. A double that is beavered stands for one
/// that is taken.
[[nodiscard]] const char* wait_name() noexcept;
[[nodiscard]] const char* take_name(const CubeDecision& decision) noexcept;
[[nodiscard]] const char* pass_name() noexcept;

/// A way to go on: its equity, and how well that is known where it was rolled out.
struct CubeWay {
  const char* name;
  const char* field;  ///< In JSON.
  double equity;
  const Estimate* rolled;  ///< Of the study; null where it was not.
};
/// To wait and, where the roller may double, that he does and the opponent takes, or passes.
[[nodiscard]] std::vector<CubeWay> ways_of(const CubeStudy& study);

/// "settled" or "open" of what was rolled out; "exact" or "by the model" else.
[[nodiscard]] const char* sureness_words(const CubeStudy& study);

/// "left out", that there is none at the score, or how the cube is and whether it is any use there.
[[nodiscard]] std::string cube_state_words(const Decision& decision);
/// Why the roller may not double, as half a sentence: "the cube is the opponent's". REQUIRES: the
/// decision has a cube, with which he may not.
[[nodiscard]] std::string no_double_reason(const Decision& decision);

/// What a cost comes to: ", a point in 20 games" at money, ", a match in 80" at a match score.
/// Empty for costs too small to be told so, and beyond half a point or match a game. With
/// `at_least` the cost is a bound.
[[nodiscard]] std::string cost_in_games(const Decision& decision, double cost,
                                        bool at_least = false);

/// "45.12% ± 0.60" of a chance to win the match; without an interval where it has none.
[[nodiscard]] std::string match_percent(const Estimate& chance);
/// The chances to win the match after each way to go on; empty at money.
[[nodiscard]] std::string match_words(const CubeStudy& study);

/// The interval of what waiting costs against doubling, or the other way round, and that of what
/// taking costs against passing; nothing where they are not estimated. REQUIRES: he may double.
struct CubeErrors {
  std::optional<double> doubling;
  std::optional<double> taking;
};
[[nodiscard]] CubeErrors cube_errors(const CubeStudy& study);

/// What both sides do when they do right: "wait", "double, he takes" and the like.
[[nodiscard]] std::string action_words(const CubeDecision& decision);

}  // namespace sixfold
