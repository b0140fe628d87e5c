/// Reports as JSON, one object a line, in the forms that other programs rely on
/// (sixfold.evaluation/3, sixfold.distribution/1, sixfold.cube/2, sixfold.rollout/3,
/// sixfold.lesson/3, sixfold.flip/2, sixfold.match/1, sixfold.score/1, sixfold.solution/1,
/// sixfold.duel/1, sixfold.queue/1, sixfold.error/1); tools/schema describes their fields.
///
/// What is computed is a number; an estimate is {"mean", "half_width"}. Bytes that are not UTF-8,
/// as the name of a net may have, are replaced. Pure functions.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "equity/score.h"
#include "report/telling.h"
#include "study/bear_off.h"
#include "study/cube_study.h"
#include "study/decision.h"
#include "study/flip.h"
#include "study/lesson.h"
#include "study/review.h"

namespace sixfold {

[[nodiscard]] std::string evaluation_json(const Evaluation& evaluation, const Telling& telling,
                                          const CallersName& name = {});
/// The six outcomes of a position before the dice, and nothing else but the caller's name and the
/// score.
[[nodiscard]] std::string distribution_json(const OutcomeDistribution& outcomes, const Score& score,
                                            const CallersName& name = {});
[[nodiscard]] std::string cube_json(const CubeStudy& study, const Provenance& made_by,
                                    const CallersName& name = {});
[[nodiscard]] std::string rollout_json(const RolledDecision& rolled, const Telling& telling,
                                       const CallersName& name = {});
[[nodiscard]] std::string flip_json(const FlipStudy& study, const Telling& telling);
/// The plan, and every cell of the grid as its rollout_json.
[[nodiscard]] std::string lesson_json(const Lesson& lesson, const LessonTelling& telling);
[[nodiscard]] std::string review_json(const MatchReview& review, const Provenance& made_by);
/// Whether a lesson file can ask about a decision: none has a cube in the middle above 1.
[[nodiscard]] bool may_be_lesson(const ReviewedTurn& turn) noexcept;
/// A lesson file (tools/schema/lesson_file.json) that asks about one decision of a match: the roll
/// with the played and the best play, or the double. REQUIRES: may_be_lesson(turn).
[[nodiscard]] std::string decision_lesson_json(const RecordedMatch& match, std::size_t game,
                                               const ReviewedTurn& turn);
[[nodiscard]] std::string score_json(const Score& score);
[[nodiscard]] std::string solved_json(const SolvedSummary& summary, const SolvedTelling& telling);

/// Two nets against each other.
struct DuelReport {
  std::string first;
  std::string second;
  std::string score;
  std::uint64_t pairs = 0;
  std::uint64_t seed = 0;
  Estimate points_per_game;   ///< Of the first net.
  double win_fraction = 0.0;  ///< The same.
};
[[nodiscard]] std::string duel_json(const DuelReport& duel);

/// An entry of a queue, and how far it has come.
struct QueueReport {
  std::int64_t entry = 0;
  std::string state;  ///< waiting, begun, done or failed
  std::string title;
  std::optional<double> half_width{};  ///< The widest of its contested costs.
  std::uint64_t trials = 0;
  std::int64_t parts = 0;
  std::int64_t open_verdicts = 0;
  double seconds = 0.0;
  std::optional<double> seconds_left{};
  std::optional<std::string> error{};
};
[[nodiscard]] std::string queue_json(const QueueReport& entry);

/// The answer to a question that has none. `id` is JSON; `line` is that of the request.
[[nodiscard]] std::string error_json(std::string_view id, std::string_view message,
                                     std::optional<int> line = {});

}  // namespace sixfold
