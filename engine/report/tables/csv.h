/// Answers as comma-separated values for other programs, a line for each play or decision.
///
/// RFC 4180: lines end in CR LF, and texts with commas or quotes are quoted. A cell is empty where
/// there is no such value. Columns of the same name mean the same in all tables. Pure functions.
#pragma once

#include <string>
#include <string_view>

#include "base/provenance.h"
#include "report/telling.h"
#include "study/cube_study.h"
#include "study/decision.h"
#include "study/lesson.h"
#include "study/review.h"

namespace sixfold {

/// The heading of a table, and its lines.
struct Csv {
  std::string heading;
  std::string lines;

  [[nodiscard]] std::string text() const { return heading + lines; }
};

/// A line for each play, or for the position before the dice.
[[nodiscard]] Csv evaluation_csv(const Evaluation& evaluation, const Provenance& made_by);
/// A line for each play. One that was set aside has `cost_at_least`, and neither cost, equity nor
/// outcomes.
[[nodiscard]] Csv rollout_csv(const RolledDecision& rolled, const Provenance& made_by);
/// The same lines as those of an entry: its number and title stand in front.
[[nodiscard]] Csv entry_csv(const EntryName& entry, const Csv& csv);
/// The same of a decision that its caller gave a name.
[[nodiscard]] Csv named_csv(std::string_view id, std::string_view title, const Csv& csv);
/// The score and the six outcomes alone.
[[nodiscard]] Csv distribution_csv(const OutcomeDistribution& outcomes, const Score& score);
/// A line for each decision of a match.
[[nodiscard]] Csv review_csv(const MatchReview& review, const Provenance& made_by);
[[nodiscard]] Csv cube_csv(const CubeStudy& study, const Provenance& made_by);
/// A line for each play of each roll and score, and one for each doubling decision. What a line is
/// about says the first column, `kind`: `play` or `double`.
[[nodiscard]] Csv lesson_csv(const Lesson& lesson, const Provenance& made_by);

}  // namespace sixfold
