#include "study/lesson.h"

#include <algorithm>
#include <optional>
#include <utility>

namespace sixfold {
namespace {

Decision decision_at(const LessonPlan& plan, std::optional<Roll> roll, const Score& score) {
  Decision decision{plan.position, roll, score, plan.cube.at(score)};
  if (!score.match) decision.money = plan.money;
  return decision;
}

RolloutQuestion double_at(const LessonPlan& plan, const Score& score) {
  Decision decision = decision_at(plan, {}, score);
  // Where nobody may double, that is the answer.
  if (!decision.cube) decision.cube = Cube{};
  return {decision, plan.settings};
}

RolloutQuestion cell_at(const LessonPlan& plan, Roll roll, const Score& score) {
  const RollRemarks* const remarks = remarks_on(plan, roll);
  return {decision_at(plan, roll, score),
          plan.settings,
          plan.grades,
          {remarks == nullptr ? std::vector<PlayKey>() : remarks->plays}};
}

/// Works a lesson out part by part. The steps say whether to go on.
class LessonMaker {
 public:
  LessonMaker(const InstrumentsFor& instruments_for, const LessonPlan& plan,
              const std::function<void(const LessonPart&)>& part_started)
      : instruments_for_(instruments_for), part_started_(part_started) {
    lesson_.plan = plan;
  }

  [[nodiscard]] Lesson make() {
    // What was kept of parts behind one that is not finished is told too.
    const bool all_doubles = make_doubles();
    lesson_.stopped = !make_rolls() || !all_doubles;
    return std::move(lesson_);
  }

 private:
  [[nodiscard]] const LessonPlan& plan() const { return lesson_.plan; }

  [[nodiscard]] bool make_doubles() {
    if (!plan().doubling) return true;
    bool all = true;
    for (const Score& score : plan().scores) {
      part_started_({LessonPart::Kind::kDouble, lesson_.doubles.size()});
      const RolloutQuestion question = double_at(plan(), score);
      std::optional<CubeStudy> study =
          roll_out_cube(instruments_for_(question.decision), question.decision, question.settings);
      if (!study) return false;
      all = all && !(study->rolled && study->rolled->interrupted);
      lesson_.doubles.push_back(std::move(*study));
    }
    return all;
  }

  [[nodiscard]] bool make_rolls() {
    bool all = true;
    for (const Roll roll : plan().rolls) {
      for (const Score& score : plan().scores) {
        if (!make_cell(roll, score)) return false;
        all = all && !lesson_.cells.back().result.interrupted;
      }
      if (all && is_wanted(plan().flips, roll) && !make_flip(roll)) return false;
    }
    return all;
  }

  /// Whether there is anything to tell.
  [[nodiscard]] bool make_cell(Roll roll, const Score& score) {
    part_started_({LessonPart::Kind::kCell, lesson_.cells.size()});
    const RolloutQuestion cell = cell_at(plan(), roll, score);
    RolledDecision rolled = roll_out_decision(instruments_for_(cell.decision), cell.decision,
                                              cell.settings, cell.grades, cell.wanted);
    if (rolled.result.plays.empty()) return false;
    lesson_.cells.push_back(std::move(rolled));
    return true;
  }

  [[nodiscard]] bool make_flip(Roll roll) {
    const std::vector<PlayKey> plays = contested_plays(lesson_, roll);
    if (plays.size() < 2) return true;
    part_started_({LessonPart::Kind::kFlip, lesson_.flips.size()});
    RolloutSettings settings = plan().settings;
    settings.trials = plan().flip_trials;
    settings.half_width = 0.0;
    // The plane leaves the cube out.
    const Decision decision{plan().position, roll, plan().scores.front()};
    auto flip = study_flip(instruments_for_(decision), plan().position, roll, settings, plays);
    if (flip) lesson_.flips.push_back(std::move(*flip));
    return flip.has_value();
  }

  [[nodiscard]] static bool is_wanted(const std::vector<Roll>& flips, Roll roll) {
    return std::find(flips.begin(), flips.end(), roll) != flips.end();
  }

  const InstrumentsFor& instruments_for_;
  const std::function<void(const LessonPart&)>& part_started_;
  Lesson lesson_;
};

}  // namespace

std::vector<RolloutQuestion> questions_of(const LessonPlan& plan) {
  std::vector<RolloutQuestion> questions;
  if (plan.doubling) {
    for (const Score& score : plan.scores) questions.push_back(double_at(plan, score));
  }
  for (const Roll roll : plan.rolls) {
    for (const Score& score : plan.scores) questions.push_back(cell_at(plan, roll, score));
  }
  return questions;
}

std::optional<Cube> cube_of(const LessonPlan& plan) noexcept {
  for (const Score& score : plan.scores) {
    if (const std::optional<Cube> cube = plan.cube.at(score)) return cube;
  }
  return std::nullopt;
}

std::vector<Score> scores_without_cube(const LessonPlan& plan) {
  std::vector<Score> scores;
  for (const Score& score : plan.scores) {
    if (!plan.cube.is_left_out() && !plan.cube.at(score)) scores.push_back(score);
  }
  return scores;
}

const RollRemarks* remarks_on(const LessonPlan& plan, Roll roll) noexcept {
  const auto found = std::find_if(plan.remarks.begin(), plan.remarks.end(),
                                  [&](const RollRemarks& each) { return each.roll == roll; });
  return found == plan.remarks.end() ? nullptr : &*found;
}

std::vector<PlayKey> contested_plays(const Lesson& lesson, Roll roll) {
  constexpr std::size_t kMost = 6;
  std::vector<PlayKey> plays;
  // The best everywhere first, then the seconds, and so on, as far as there is room.
  for (std::size_t rank = 0; plays.size() < kMost; ++rank) {
    bool any = false;
    for (const RolledDecision& cell : lesson.cells) {
      const std::vector<RolledPlay>& rolled = cell.result.plays;
      if (*cell.decision.roll != roll || rank >= rolled.size()) continue;
      if (rank > 1 && verdict_of(rolled[rank]) == Verdict::kWorse) continue;
      any = true;
      const bool is_new = std::find(plays.begin(), plays.end(), rolled[rank].play) == plays.end();
      if (is_new && plays.size() < kMost) plays.push_back(rolled[rank].play);
    }
    if (!any) break;
  }
  return plays;
}

Lesson make_lesson(const InstrumentsFor& instruments_for, const LessonPlan& plan,
                   const std::function<void(const LessonPart&)>& part_started) {
  // Scores that the cube does not fit are refused before any work.
  for (const Score& score : plan.scores) {
    static_cast<void>(cube_rules(decision_at(plan, {}, score), {}));
  }
  return LessonMaker(instruments_for, plan, part_started).make();
}

}  // namespace sixfold
