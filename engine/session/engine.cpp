#include <algorithm>
#include <utility>

#include "base/format.h"
#include "base/input_error.h"
#include "rules/notation.h"
#include "session/core.h"
#include "session/sixfold.h"

namespace sixfold {
namespace {

Measured measured(const Estimate& estimate) {
  return {estimate.mean, estimate.standard_error, estimate.half_width};
}

template <typename Study>
std::shared_ptr<const Study> kept(Study study) {
  return std::make_shared<const Study>(std::move(study));
}

std::vector<RolledPlayAnswer> plays_of(const RolledDecision& study) {
  const Position& position = study.decision.position;
  std::vector<RolledPlayAnswer> plays;
  for (const RolledPlay& rolled : study.result.plays) {
    RolledPlayAnswer play;
    play.play = play_text(position, *study.decision.roll, rolled.play);
    play.result = position_text(position_after(position, rolled.play));
    play.trials = rolled.trials;
    std::transform(rolled.outcomes.begin(), rolled.outcomes.end(), play.outcomes.begin(), measured);
    play.equity = measured(rolled.equity);
    play.cubeless_equity = measured(cubeless_equity(rolled));
    play.cost = measured(rolled.cost);
    play.at_least = rolled.at_least;
    play.best_probability = rolled.best_probability;
    plays.push_back(std::move(play));
  }
  return plays;
}

LegalPlay legal_play(const Position& position, Roll roll, PlayKey play) {
  return {play_text(position, roll, play), position_text(position_after(position, play))};
}

/// A question with a roll that can be played.
Decision asked_play(const Core& core, const Question& question) {
  const Decision decision = core.decision(question);
  require_play(decision);
  return decision;
}

LessonPlan plan_of(const Core& core, const LessonQuestion& question, const Rolling& rolling) {
  LessonPlan plan;
  Question asked = question.position;
  for (const std::string& roll : question.rolls) plan.rolls.push_back(parse_roll(roll));
  for (const std::string& score : question.scores) {
    asked.score = score;
    plan.scores.push_back(core.decision(asked).score);
  }
  const Decision decision = core.decision(asked);
  plan.position = decision.position;
  plan.cube = parse_asked_cube(asked.cube);
  plan.money = decision.money;
  plan.settings = core.settings(rolling);
  plan.grades = {rolling.error, rolling.blunder};
  return plan;
}

}  // namespace

std::vector<PlayAnswer> EvaluationAnswer::plays() const {
  const Decision& decision = study().decision;
  std::vector<PlayAnswer> plays;
  for (const EvaluatedPlay& play : study().plays) {
    plays.push_back({play_text(decision.position, *decision.roll, play.play),
                     position_text(position_after(decision.position, play.play)),
                     play.outcomes.probability, play.equity, play.cubeless_equity, play.cost,
                     play.is_exact});
  }
  return plays;
}

SixOutcomes EvaluationAnswer::outcomes() const { return study().outcomes.probability; }
double EvaluationAnswer::equity() const { return study().equity; }
double EvaluationAnswer::cubeless_equity() const { return study().cubeless_equity; }

std::vector<RolledPlayAnswer> RolloutAnswer::plays() const { return plays_of(study()); }
bool RolloutAnswer::interrupted() const { return study().result.interrupted; }

double CubeAnswer::no_double() const { return study().equities.no_double; }
std::optional<double> CubeAnswer::double_take() const { return study().equities.double_take; }
std::optional<double> CubeAnswer::double_pass() const { return study().equities.double_pass; }
std::string CubeAnswer::action() const { return std::string(action_text(study().equities.action)); }

std::vector<LessonAnswer::Cell> LessonAnswer::cells() const {
  std::vector<Cell> cells;
  for (const RolledDecision& cell : study().cells) {
    cells.push_back({roll_text(*cell.decision.roll), cell.decision.score.name, plays_of(cell)});
  }
  return cells;
}
bool LessonAnswer::interrupted() const { return study().stopped; }

Engine::Engine(const EngineOptions& options) : core_(std::make_unique<Core>(options)) {}
Engine::Engine(std::unique_ptr<Core> core) noexcept : core_(std::move(core)) {}
Engine Engine::twin() const { return Engine(core_->twin()); }
Engine::Engine(Engine&&) noexcept = default;
Engine& Engine::operator=(Engine&&) noexcept = default;
Engine::~Engine() = default;

const std::string& Engine::net() const noexcept { return core_->provenance().net; }
std::string_view Engine::version() noexcept { return SIXFOLD_VERSION; }
int Engine::api_version() noexcept { return kApiVersion; }

MadeBy Engine::made_by(const Rolling& rolling) const {
  return {core_->provenance().net, core_->provenance().version, rolling, {}};
}

MadeBy Engine::rolled_by(const Rolling& rolling) const {
  MadeBy made = made_by(rolling);
  made.opponent_net = core_->provenance().opponent_net;
  return made;
}

EvaluationAnswer Engine::evaluate(const Question& question) {
  return {kept(core_->evaluate(core_->decision(question))), made_by({})};
}

RolloutAnswer Engine::rollout(const Question& question, const Rolling& rolling,
                              const Watch& watch) {
  const Decision decision = core_->decision(question);
  const WantedPlays wanted = wanted_plays(decision, question.plays);
  return {
      kept(core_->roll_out(
          {decision, core_->settings(rolling), {rolling.error, rolling.blunder}, wanted}, watch)),
      rolled_by(rolling)};
}

std::optional<CubeAnswer> Engine::cube(const Question& question,
                                       const std::optional<Rolling>& rolling, const Watch& watch) {
  Decision decision = core_->decision(question);
  if (parse_asked_cube(question.cube).is_left_out()) {
    throw InputError("there is no cube to double with", "cube", "centred, roller:V or opponent:V");
  }
  if (!decision.cube) decision.cube = Cube{};
  if (!rolling) return CubeAnswer(kept(core_->study_cube(decision)), made_by({}));
  auto study = core_->roll_out_cube({decision, core_->settings(*rolling)}, watch);
  if (!study) return std::nullopt;
  return CubeAnswer(kept(std::move(*study)), rolled_by(*rolling));
}

LessonAnswer Engine::lesson(const LessonQuestion& question, const Rolling& rolling,
                            const Watch& watch) {
  return {kept(core_->lesson(plan_of(*core_, question, rolling), watch)), rolled_by(rolling)};
}

std::vector<SixOutcomes> Engine::distributions(std::span<const std::string> positions,
                                               int checkers) {
  std::vector<Position> read;
  for (std::size_t i = 0; i < positions.size(); ++i) {
    read.push_back(inside(format("positions[{}]", i), [&] {
      return asked_position({.position = positions[i], .checkers = checkers});
    }));
  }
  std::vector<SixOutcomes> outcomes;
  for (const OutcomeDistribution& one : core_->distributions(read, checkers)) {
    outcomes.push_back(one.probability);
  }
  return outcomes;
}

std::vector<LegalPlay> Engine::legal_plays(const Question& question) const {
  const Decision decision = asked_play(*core_, question);
  PlayList list;
  generate_plays(decision.position, *decision.roll, list);
  std::vector<LegalPlay> plays;
  for (const PlayKey play : list) {
    plays.push_back(legal_play(decision.position, *decision.roll, play));
  }
  return plays;
}

LegalPlay Engine::play(const Question& question, const std::string& play) const {
  const Decision decision = asked_play(*core_, question);
  return legal_play(decision.position, *decision.roll,
                    parse_play(decision.position, *decision.roll, play));
}

}  // namespace sixfold
