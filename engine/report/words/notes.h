/// How results came about, in words that text and page share: settings, cube, intervals.
///
/// Pure functions; safe to use from any thread.
#pragma once

#include <string>

#include "base/provenance.h"
#include "equity/cube.h"
#include "report/telling.h"
#include "rollout/rollout.h"
#include "study/lesson.h"

namespace sixfold {

/// "luck-adjusted trials to the end, seed 1" and the like.
[[nodiscard]] std::string settings_text(const RolloutSettings& settings);
/// "net standard/0123", and the opponent's where he has one of his own.
[[nodiscard]] std::string nets_words(const Provenance& made_by);
/// Against whom plays are rolled out, as a sentence; empty where both sides play by the same net.
[[nodiscard]] std::string opponent_note(const Provenance& made_by);
/// The settings with the nets.
[[nodiscard]] std::string settings_line(const RolloutSettings& settings, const Provenance& made_by);
/// By which net, with how many trials, how sure, and whether to the end.
[[nodiscard]] std::string computed_words(const Lesson& lesson, const LessonTelling& telling);
[[nodiscard]] std::string interval_note(double confidence);

/// "centred", "the roller's at 2" or "the opponent's at 2".
[[nodiscard]] std::string owner_text(const Cube& cube);
/// "centred, Jacoby rule" and the like.
[[nodiscard]] std::string cube_words(const Cube& cube, const MoneyRules& money);
/// How often the cube was turned and passed.
[[nodiscard]] std::string cube_use_text(const RolledCube& cube);

/// Why a cost may differ from the difference of two equities.
inline constexpr const char* kPairedNote =
    "Costs come from trials on the same dice: of plays with different numbers of trials they are "
    "not just the difference of the equities.";

inline constexpr const char* kCubeNote =
    "Equity and cost are those with the cube, for each unit of its present value; players double "
    "by the cube model, at most to 64 times that. Shares of outcomes are of games played to the "
    "end.";

}  // namespace sixfold
