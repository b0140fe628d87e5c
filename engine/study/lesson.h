/// A lesson: one position, several rolls, several scores, and the grid of verdicts.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "study/decision.h"
#include "study/flip.h"

namespace sixfold {

struct LessonPlan {
  std::string title;
  std::string notes;  ///< The author's, printed under the title.
  Position position;
  std::vector<Roll> rolls;
  std::vector<Score> scores;
  std::optional<Cube> cube{};  ///< At every score; nothing where it is left out.
  MoneyRules money{};          ///< At money.
  RolloutSettings settings;
  VerdictThresholds thresholds;
  std::vector<Roll> flips;  ///< Of the rolls: those whose verdicts are looked at over all scores.
  std::uint64_t flip_trials = 1296;  ///< Of each contested play, at each corner of the plane.
};

/// One roll at one score is a cell; cells are in the order of rolls, then scores.
struct Lesson {
  LessonPlan plan;
  std::string net;
  std::vector<RolledDecision> cells;  ///< Fewer than planned when stopped.
  std::vector<FlipStudy> flips;       ///< The same.
};

/// Reads the JSON form of a lesson over `defaults`: the fields title, notes, position or after,
/// checkers, rolls, scores, cube, jacoby, beavers, flip, trials, half_width, seed. Throws
/// InputError with the path inside the text ("rolls[1]") for unknown or malformed fields, for
/// duplicates and for a lesson without rolls. `where` names the text in messages.
[[nodiscard]] LessonPlan parse_lesson(std::string_view json, const std::string& where,
                                      const LessonPlan& defaults,
                                      const MatchEquityTable& table = own_match_equities());

/// Plays of a roll that may be best at one of its scores, or cost less than an error there.
[[nodiscard]] std::vector<PlayKey> contested_plays(const Lesson& lesson, Roll roll);

/// Rolls out every cell. `cell_started` is called before each with its number from 0; `seconds`
/// gives the time of a cell just finished.
[[nodiscard]] Lesson make_lesson(const EvaluatorFor& evaluator_for, const std::string& net,
                                 const LessonPlan& plan,
                                 const std::function<void(std::size_t)>& cell_started,
                                 const std::function<double()>& seconds,
                                 const ExactTables& tables = {});

}  // namespace sixfold
