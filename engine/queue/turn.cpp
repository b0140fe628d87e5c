#include "queue/turn.h"

#include <utility>

#include "base/format.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::vector<PlayRow> rows_of(const RolledDecision& rolled) {
  const Position& position = rolled.decision.position;
  std::vector<PlayRow> rows;
  for (const RolledPlay& play : rolled.result.plays) {
    rows.push_back({play_text(position, *rolled.decision.roll, play.play),
                    position_text(position_after(position, play.play)), play});
  }
  return rows;
}

std::vector<PlayRow> rows_of(const CubeStudy& study) {
  std::vector<PlayRow> rows;
  if (!study.rolled) return rows;
  const std::string position = position_text(study.decision.position);
  rows.push_back({"no double", position, study.rolled->no_double});
  if (study.rolled->double_take) {
    rows.push_back({study.rolled->is_beavered ? "double, beaver" : "double, take", position,
                    *study.rolled->double_take});
  }
  return rows;
}

/// Standing of a part that is known without trials.
Standing known() {
  Standing standing;
  standing.is_done = true;
  standing.rounds = 1;
  return standing;
}

}  // namespace

std::vector<Part> parts_of(const Job& job) {
  std::vector<Part> parts;
  for (const RolloutQuestion& question : job.questions) {
    const Decision& decision = question.decision;
    Part part;
    part.kind = decision.roll ? Part::Kind::kRoll : Part::Kind::kDouble;
    if (decision.roll) part.dice = roll_text(*decision.roll);
    part.what = part.dice.value_or("double") + " at " + decision.score.name;
    part.position = position_text(decision.position);
    part.score = decision.score.name;
    if (decision.cube) part.cube = cube_text(*decision.cube);
    parts.push_back(std::move(part));
  }
  if (job.has_planes()) {
    Part part;
    part.kind = Part::Kind::kPlanes;
    part.what = "rolls at all scores";
    part.position = position_text(job.lesson->position);
    part.score = "all";
    parts.push_back(std::move(part));
  }
  return parts;
}

void EntryStates::take_up(RolloutState& state) {
  const std::uint64_t plan = state.plan().identity();
  if (const auto bytes = store_.state(entry_, plan)) {
    state = RolloutState::load(state.plan(), *bytes, format("{}, entry {}", store_.name(), entry_));
  }
  if (use_ == Use::kGoBeyond && state.is_finished()) state.go_beyond();
  standing_ = standing_of(state);
}

bool EntryStates::keep(const RolloutState& state) {
  store_.keep_state(entry_, state.plan().identity(), state.save());
  played_ += state.trials_done() - standing_.trials;
  standing_ = standing_of(state);
  return false;
}

Turn play_turn(const TurnTools& tools, const Job& job, const PartAt& part) {
  using Use = EntryStates::Use;
  EntryStates states(tools.store, part.entry, part.standing.is_done ? Use::kGoBeyond : Use::kGoOn);
  const std::unique_ptr<TrialRunner> runner = tools.runner(states);
  Turn turn{part.entry, part.number, part.standing, {}};
  Standing& standing = turn.standing;
  if (part.kind == Part::Kind::kPlanes) {
    const Lesson lesson = tools.core.lesson(*job.lesson, *runner, tools.stop);
    standing.rounds = 1;
    standing.trials += states.played();
    standing.trials_expected = standing.trials;
    standing.is_done = !lesson.stopped;
    return turn;
  }
  const RolloutQuestion& question = job.questions.at(static_cast<std::size_t>(part.number));
  if (part.kind == Part::Kind::kRoll) {
    const RolledDecision rolled = tools.core.roll_out(question, *runner, tools.stop);
    standing = states.standing();
    standing.closest = closest_of(rolled);
    turn.plays = rows_of(rolled);
  } else if (const auto study = tools.core.roll_out_cube(question, *runner, tools.stop)) {
    standing = study->is_exact ? known() : states.standing();
    standing.closest = closest_of(*study);
    turn.plays = rows_of(*study);
  }
  return turn;
}

}  // namespace sixfold
