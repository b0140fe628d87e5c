#include "queue/night.h"

#include <utility>

#include "base/format.h"
#include "queue/next_up.h"
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
  if (const auto bytes = file_.state(entry_, plan)) {
    state = RolloutState::load(state.plan(), *bytes,
                               format("{}, entry {}", file_.name(), entry_));
  }
  if (use_ == Use::kGoBeyond && state.is_finished()) state.go_beyond();
  look_at(state);
}

bool EntryStates::keep(const RolloutState& state) {
  file_.keep_state(entry_, state.plan().identity(), state.save());
  played_ += state.trials_done() - standing_.trials;
  look_at(state);
  return false;
}

void EntryStates::look_at(const RolloutState& state) {
  standing_.rounds = state.rounds();
  standing_.trials = state.trials_done();
  standing_.trials_expected = state.trials_expected();
  standing_.going_on = state.going_on();
  standing_.trials_each = state.trials_each();
  standing_.is_done = state.is_finished() || state.beyond() > 0;
  standing_.beyond = state.beyond();
  standing_.wanted = state.plan().settings.half_width;
  standing_.half_width = state.widest();
}

Night::Night(QueueFile& file, Core& core, JobReader reader, NightSettings settings)
    : file_(file), core_(core), reader_(std::move(reader)), settings_(std::move(settings)) {}

const Job& Night::job_of(std::int64_t id) {
  const auto found = jobs_.find(id);
  if (found != jobs_.end()) return found->second;
  return jobs_.emplace(id, reader_(file_.required_entry(id))).first->second;
}

Turn Night::turn_at(const PartAt& part) {
  const Job& job = job_of(part.entry);
  using Use = EntryStates::Use;
  EntryStates states(file_, part.entry, part.standing.is_done ? Use::kGoBeyond : Use::kGoOn);
  const std::unique_ptr<TrialRunner> runner = settings_.runner(states);
  Turn turn{part.entry, part.number, part.standing, {}};
  Standing& standing = turn.standing;
  if (part.kind == Part::Kind::kPlanes) {
    const Lesson lesson = core_.lesson(*job.lesson, *runner, settings_.stop);
    standing.rounds = 1;
    standing.trials += states.played();
    standing.trials_expected = standing.trials;
    standing.is_done = !lesson.stopped;
    return turn;
  }
  const RolloutQuestion& question = job.questions.at(static_cast<std::size_t>(part.number));
  if (part.kind == Part::Kind::kRoll) {
    const RolledDecision rolled = core_.roll_out(question, *runner, settings_.stop);
    standing = states.standing();
    standing.closest = closest_of(rolled);
    turn.plays = rows_of(rolled);
  } else if (const auto study = core_.roll_out_cube(question, *runner, settings_.stop)) {
    standing = study->is_exact ? known() : states.standing();
    standing.closest = closest_of(*study);
    turn.plays = rows_of(*study);
  }
  return turn;
}

void Night::play(const PartAt& part) {
  if (settings_.turn_started) settings_.turn_started(part);
  const double before = settings_.clock();
  Turn turn = turn_at(part);
  turn.standing.seconds = part.standing.seconds + settings_.clock() - before;
  if (!file_.commit(turn)) jobs_.erase(part.entry);
  if (!settings_.turn_ended) return;
  PartAt now = part;
  now.standing = turn.standing;
  settings_.turn_ended(now);
}

void Night::run() {
  const auto is_to_stop = [&] { return settings_.stop != nullptr && *settings_.stop; };
  while (!is_to_stop()) {
    const std::vector<PartAt> parts = file_.parts();
    const std::optional<std::size_t> next = next_up(parts, settings_.beyond);
    if (!next) return;
    const PartAt& part = parts[*next];
    try {
      play(part);
    } catch (const DatabaseError& error) {
      if (error.kind() != DatabaseError::Kind::kDamaged) throw;
      give_up(part, error.what());
    } catch (const InputError& error) {
      give_up(part, error.what());
    }
  }
}

void Night::give_up(const PartAt& part, const std::string& error) {
  // One that has been removed meanwhile has not failed.
  if (file_.fail(part.entry, error)) settings_.failed(part, error);
}

}  // namespace sixfold
