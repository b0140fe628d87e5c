#include "tools/board/work_piece.h"

#include <algorithm>
#include <memory>
#include <utility>

#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/json/lesson_file.h"
#include "rules/notation.h"
#include "tools/board/sliced_runner.h"
#include "tools/queue/jobs.h"
#include "tools/sheets.h"

namespace sixfold::tools {
namespace {

/// What is asked for at all scores has no score, no cube and no half-width.
RolloutQuestion plane_in(const Asked& asked, const Request& request, const Core& core) {
  const auto refuse = [](const char* field, const char* complaint) {
    throw InputError(complaint, std::string("field ") + field, "it with other kinds of work");
  };
  if (request.score) refuse("score", "the plane holds all scores");
  if (request.half_width) refuse("half_width", "every play gets the same trials on the plane");
  if (request.play_field() != nullptr) {
    refuse(request.play_field(), "the plane is of all plays");
  }
  Question question = asked.question;
  if (!question.cube.empty() && question.cube != "none") {
    refuse("cube", "the plane leaves the cube out");
  }
  question.cube = "none";
  const Decision decision = core.decision(question);
  require_play(decision);
  return {decision, core.settings(asked.rolling)};
}

void add(LessonTelling& all, const LessonTelling& more) {
  const auto add_each = [](std::vector<double>& to, const std::vector<double>& from) {
    to.resize(std::max(to.size(), from.size()));
    for (std::size_t i = 0; i < from.size(); ++i) to[i] += from[i];
  };
  all.made_by = more.made_by;
  all.seconds += more.seconds;
  add_each(all.cell_seconds, more.cell_seconds);
  add_each(all.flip_seconds, more.flip_seconds);
}

}  // namespace

/// One run of a piece: looks between slices, keeps what was played and tells.
class WorkRun final : public StateKeeper {
 public:
  WorkRun(WorkPiece& piece, Engine& engine, const std::atomic<bool>& stop,
          const std::function<void(const WorkNews&)>& tell)
      : piece_(piece), core_(engine.core()), stop_(stop), tell_(tell) {
    core_.play_by([this](RunControl control, StateKeeper*) {
      return std::make_unique<SlicedRunner>(core_.threads(), std::move(control), *this);
    });
  }
  ~WorkRun() override { core_.play_by({}); }

  [[nodiscard]] WorkPiece::End run() {
    switch (piece_.kind_) {
      case WorkPiece::Kind::kRollout:
        return roll_out();
      case WorkPiece::Kind::kCube:
        return roll_out_cube();
      case WorkPiece::Kind::kFlip:
        return flip();
      case WorkPiece::Kind::kLesson:
        break;
    }
    return lesson();
  }

  void take_up(RolloutState& state) override {
    ++begun_;
    const auto kept = piece_.states_.find(state.plan().identity());
    if (kept != piece_.states_.end()) {
      state = RolloutState::load(state.plan(), kept->second, "work");
    }
  }
  /// Results cost time too, so they are worked out no more often than is worth it.
  [[nodiscard]] bool keep(const RolloutState& state) override {
    constexpr double kMostForTelling = 0.2;
    since_told_ += watch_.lap();
    if (state.is_finished() || stop_ || since_told_ * kMostForTelling >= last_telling_) {
      tell_of(state);
      last_telling_ = watch_.lap();
      since_told_ = 0.0;
    }
    // The page may have gone just now.
    if (stop_ || state.is_finished()) {
      piece_.states_[state.plan().identity()] = state.save();
    }
    return true;
  }

 private:
  [[nodiscard]] Watch watch() const { return {&stop_, {}}; }

  [[nodiscard]] WorkPiece::End roll_out() {
    begin({"rolling out " + piece_.asked_.words()}, &piece_.question_);
    const RolledDecision rolled = core_.roll_out(piece_.question_, watch());
    return ended(!rolled.result.interrupted, json_of(rolled));
  }
  [[nodiscard]] WorkPiece::End roll_out_cube() {
    begin({"rolling out the double at " + piece_.asked_.question.score}, &piece_.question_);
    const std::optional<CubeStudy> study = core_.roll_out_cube(piece_.question_, watch());
    const bool is_done = study && !(study->rolled && study->rolled->interrupted);
    return ended(is_done, study ? json_of(*study) : "");
  }
  [[nodiscard]] WorkPiece::End flip() {
    const RolloutQuestion& question = piece_.question_;
    begin({"rolling out " + roll_text(*question.decision.roll) + " at all scores", 0.0,
           kFlipRollouts},
          nullptr);
    const std::optional<FlipStudy> study =
        core_.flip(question.decision, question.settings, watch());
    return ended(study.has_value(),
                 study ? flip_json(*study, {core_.provenance(), total_seconds()}) : "");
  }
  [[nodiscard]] WorkPiece::End lesson() {
    const LessonPlan& plan = *piece_.plan_;
    const std::vector<RolloutQuestion> questions = questions_of(plan);
    const std::size_t doubles = plan.doubling ? plan.scores.size() : 0;
    parts_ = questions.size() + plan.flips.size();
    LessonClock clock;
    std::size_t cell = 0;
    Lesson lesson = core_.lesson(plan, watch(), [&](const LessonPart& started) {
      using Kind = LessonPart::Kind;
      clock.start(started.kind);
      if (started.kind == Kind::kCell) cell = started.number;
      const std::size_t number = started.number + (started.kind == Kind::kCell ? doubles : 0);
      begin(lesson_part(plan, started, cell),
            started.kind == Kind::kFlip ? nullptr : &questions[number]);
    });
    add(piece_.telling_, clock.telling(core_.provenance()));
    const bool is_any = !lesson.cells.empty() || !lesson.doubles.empty();
    const bool is_done = !lesson.stopped;
    const std::string told = is_any ? lesson_json(lesson, piece_.telling_) : "";
    if (is_any) piece_.lesson_ = std::move(lesson);
    return ended(is_done, is_done ? lesson_done_json(told) : told);
  }

  void begin(Work::Part part, const RolloutQuestion* question) {
    part_ = std::move(part);
    question_ = question;
    static_study_.reset();
    ++part_number_;
    first_rollout_ = begun_;
    percent_ = std::max(percent_, 100.0 * share_before());
    tell_({part_.what, part_number_ - 1, parts_, percent_});
  }
  [[nodiscard]] double share_before() const {
    return static_cast<double>(part_number_ - 1) / static_cast<double>(parts_);
  }

  void tell_of(const RolloutState& state) {
    const double of_rollout =
        static_cast<double>(state.trials_done()) /
        static_cast<double>(std::max<std::uint64_t>(1, state.trials_expected()));
    const double of_part =
        std::min(1.0, (static_cast<double>(begun_ - first_rollout_ - 1) + of_rollout) /
                          static_cast<double>(part_.rollouts));
    // What is expected grows on the way; what has been told stays told.
    percent_ = std::max(percent_, 100.0 * (share_before() + of_part / static_cast<double>(parts_)));
    news_ = {part_.what,
             part_number_ - 1,
             parts_,
             percent_,
             state.trials_done(),
             state.widest(),
             state.has_result() && question_ != nullptr ? answer_of(state) : ""};
    tell_(news_);
  }

  /// What is known so far, as it is told in the end.
  [[nodiscard]] std::string answer_of(const RolloutState& state) {
    const Decision& decision = question_->decision;
    if (decision.roll) {
      return json_of(RolledDecision{decision, question_->settings, question_->grades,
                                    state.result(), state.plan().worth});
    }
    if (!static_study_) static_study_ = core_.study_cube(decision);
    CubeStudy study = *static_study_;
    put_rolled(study, question_->settings, state.rolled_double());
    return json_of(study);
  }
  [[nodiscard]] std::string json_of(const RolledDecision& rolled) {
    const bool with_ledger = piece_.plan_ || piece_.asked_.ledger;  // Lessons have them all.
    return rollout_json(rolled, {core_.provenance(), total_seconds(), false, with_ledger},
                        piece_.asked_.name());
  }
  [[nodiscard]] std::string json_of(const CubeStudy& study) const {
    return cube_json(study, core_.provenance(), piece_.asked_.name());
  }

  [[nodiscard]] WorkPiece::End ended(bool is_done, std::string answer) {
    piece_.seconds_ = total_seconds();
    if (is_done) return {true, std::move(answer)};
    news_.what = part_.what;
    news_.parts = parts_;
    news_.answer = std::move(answer);
    return {false, news_json(news_)};
  }
  [[nodiscard]] double total_seconds() { return piece_.seconds_ + (run_seconds_ += run_.lap()); }

  WorkPiece& piece_;
  Core& core_;
  const std::atomic<bool>& stop_;
  const std::function<void(const WorkNews&)>& tell_;
  Stopwatch run_;
  double run_seconds_ = 0.0;

  Work::Part part_;
  const RolloutQuestion* question_ =
      nullptr;                             ///< Of the part; null where there are no answers yet.
  std::optional<CubeStudy> static_study_;  ///< Of the same.
  std::size_t parts_ = 1;
  std::size_t part_number_ = 0;
  std::size_t begun_ = 0;          ///< Rollouts.
  std::size_t first_rollout_ = 0;  ///< Of the part.
  double percent_ = 0.0;
  WorkNews news_;
  Stopwatch watch_;
  double since_told_ = 0.0;
  double last_telling_ = 0.0;
};

WorkPiece::WorkPiece(const std::string& body, const Core& core, std::string& id) {
  const AskedWork work = parse_work(body, id);
  if (work.kind == "lesson") {
    kind_ = Kind::kLesson;
    plan_ = parse_lesson(work.input, "lesson", usual_lesson(core, {}), core.match_table());
    for (const RolloutQuestion& question : questions_of(*plan_)) require_answer(question.decision);
  } else if (work.kind == "flip") {
    kind_ = Kind::kFlip;
    PositionOptions options = request_options(false);
    asked_ =
        asked_in(work.input, options, {.trials = 600, .half_width = 0.0}, core.match_table(), id)
            .front();
    question_ = plane_in(asked_, parse_request(work.input, id), core);
  } else {
    const bool is_cube = work.kind == "cube";
    kind_ = is_cube ? Kind::kCube : Kind::kRollout;
    Entry entry;
    entry.input = work.input;
    ReadEntry read = read_entry(entry, core);
    if (read.asked.size() != 1) throw InputError("several scores", "field score", "one");
    asked_ = std::move(read.asked.front());
    question_ = std::move(read.job.questions.front());
    if (is_cube == question_.decision.roll.has_value()) {
      throw InputError(is_cube ? "a double is looked at before the dice" : "no roll to be played",
                       "field dice", is_cube ? "none" : "such as 64");
    }
  }
  id_ = id;
}

WorkPiece::End WorkPiece::run(Engine& engine, const std::atomic<bool>& stop,
                              const std::function<void(const WorkNews&)>& tell) {
  return WorkRun(*this, engine, stop, tell).run();
}

std::string WorkPiece::sheet(const std::string& kind, bool is_quiz) const {
  if (!lesson_) throw InputError("there is no sheet of it", "work", "a lesson that is done");
  const std::string command =
      "sixfold lesson lesson.json --out sheet" + kind + (is_quiz ? " --quiz" : "");
  return sheet_of(*lesson_, telling_, kind, {is_quiz, command});
}

}  // namespace sixfold::tools
