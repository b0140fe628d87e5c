/// A lesson: one position, several rolls, several scores, and the grid of verdicts.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "study/cube_study.h"
#include "study/decision.h"
#include "study/flip.h"

namespace sixfold {

/// What the author has to say about a roll.
struct RollRemarks {
  Roll roll;
  std::string notes;           ///< Printed with the roll; may be empty.
  std::vector<PlayKey> plays;  ///< To be compared with the best; empty: the runner-up is.
};

struct LessonPlan {
  std::string title;
  std::string notes;  ///< The author's, printed under the title.
  Position position;
  std::vector<Roll> rolls;           ///< May be empty where doubling is looked at.
  std::vector<RollRemarks> remarks;  ///< On some of the rolls.
  std::vector<Score> scores;
  AskedCube cube{};       ///< At every score.
  MoneyRules money{};     ///< At money.
  bool doubling = false;  ///< Whether to double before the roll is looked at too.
  RolloutSettings settings;
  GradeBounds grades;
  std::vector<Roll> flips;  ///< Of the rolls: those whose verdicts are looked at over all scores.
  std::uint64_t flip_trials = 600;  ///< Of each contested play, at each corner of the plane.
};

/// The cube at the first of the scores that has one; nothing where it is left out everywhere.
[[nodiscard]] std::optional<Cube> cube_of(const LessonPlan& plan) noexcept;
/// Scores of the plan without a cube, because nobody may double there.
[[nodiscard]] std::vector<Score> scores_without_cube(const LessonPlan& plan);

/// Nothing where the author has no remarks on the roll.
[[nodiscard]] const RollRemarks* remarks_on(const LessonPlan& plan, Roll roll) noexcept;

/// One roll at one score is a cell; cells are in the order of rolls, then scores.
struct Lesson {
  LessonPlan plan;
  std::vector<CubeStudy> doubles;     ///< By score, where doubling is looked at.
  std::vector<RolledDecision> cells;  ///< The first ones, fewer than planned when stopped.
  std::vector<FlipStudy> flips;       ///< The same.
  bool stopped = false;               ///< Before all that the plan asks for was done.
};

/// Plays of a roll that are best or second at one of its scores, or may be best there.
[[nodiscard]] std::vector<PlayKey> contested_plays(const Lesson& lesson, Roll roll);

/// What a lesson's doubling decisions, by score, and its cells ask, in this order.
[[nodiscard]] std::vector<RolloutQuestion> questions_of(const LessonPlan& plan);

/// A part of a lesson by its number among those of its kind, from 0.
struct LessonPart {
  enum class Kind : std::uint8_t { kDouble, kCell, kFlip };
  Kind kind;
  std::size_t number;
};

/// What a decision of the lesson is worked out with: solved games belong to a number of checkers
/// and a score.
using InstrumentsFor = std::function<Instruments(const Decision&)>;

/// Looks at the double at each score, if the plan asks for it, rolls out every cell, and the flip
/// planes that are asked for. `part_started` is called before each of these.
[[nodiscard]] Lesson make_lesson(const InstrumentsFor& instruments_for, const LessonPlan& plan,
                                 const std::function<void(const LessonPart&)>& part_started);

}  // namespace sixfold
