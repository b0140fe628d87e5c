#include "study/lesson.h"

#include <algorithm>
#include <optional>
#include <utility>

namespace sixfold {
namespace {

Decision decision_at(const LessonPlan& plan, std::optional<Roll> roll, const Score& score) {
  Decision decision{plan.position, roll, score, plan.cube};
  if (!score.match) decision.money = plan.money;
  return decision;
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
    lesson_.stopped = !(make_doubles() && make_rolls());
    return std::move(lesson_);
  }

 private:
  [[nodiscard]] const LessonPlan& plan() const { return lesson_.plan; }

  [[nodiscard]] bool make_doubles() {
    if (!plan().doubling) return true;
    for (const Score& score : plan().scores) {
      part_started_({LessonPart::Kind::kDouble, lesson_.doubles.size()});
      const Decision decision = decision_at(plan(), {}, score);
      std::optional<CubeStudy> study =
          roll_out_cube(instruments_for_(decision), decision, plan().settings);
      if (!study) return false;
      lesson_.doubles.push_back(std::move(*study));
      const auto& rolled = lesson_.doubles.back().rolled;
      if (rolled && rolled->interrupted) return false;
    }
    return true;
  }

  [[nodiscard]] bool make_rolls() {
    for (const Roll roll : plan().rolls) {
      for (const Score& score : plan().scores) {
        if (!make_cell(roll, score)) return false;
      }
      const bool is_wanted =
          std::find(plan().flips.begin(), plan().flips.end(), roll) != plan().flips.end();
      if (is_wanted && !make_flip(roll)) return false;
    }
    return true;
  }

  [[nodiscard]] bool make_cell(Roll roll, const Score& score) {
    part_started_({LessonPart::Kind::kCell, lesson_.cells.size()});
    const Decision decision = decision_at(plan(), roll, score);
    const RollRemarks* const remarks = remarks_on(plan(), roll);
    const WantedPlays wanted{remarks == nullptr ? std::vector<PlayKey>() : remarks->plays};
    RolledDecision cell = roll_out_decision(instruments_for_(decision), decision, plan().settings,
                                            plan().grades, wanted);
    if (cell.result.plays.empty()) return false;
    lesson_.cells.push_back(std::move(cell));
    return !lesson_.cells.back().result.interrupted;
  }

  [[nodiscard]] bool make_flip(Roll roll) {
    const std::vector<PlayKey> plays = contested_plays(lesson_, roll);
    if (plays.size() < 2) return true;
    part_started_({LessonPart::Kind::kFlip, lesson_.flips.size()});
    RolloutSettings settings = plan().settings;
    settings.trials = plan().flip_trials;
    settings.half_width = 0.0;
    const Decision decision = decision_at(plan(), roll, plan().scores.front());
    auto flip = study_flip(instruments_for_(decision), plan().position, roll, settings, plays);
    if (flip) lesson_.flips.push_back(std::move(*flip));
    return flip.has_value();
  }

  const InstrumentsFor& instruments_for_;
  const std::function<void(const LessonPart&)>& part_started_;
  Lesson lesson_;
};

}  // namespace

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
