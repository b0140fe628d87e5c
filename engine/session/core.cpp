#include "session/core.h"

#include <algorithm>

#include "base/clean_text.h"
#include "base/format.h"
#include "base/hash.h"
#include "base/input_error.h"
#include "equity/match_table_file.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

CoreFiles files_of(const EngineOptions& options) {
  if (options.net.empty()) {
    throw InputError("no network file is named", "net", "such as nets/standard.safetensors");
  }
  CoreFiles files{
      clean_line(options.net.stem().string()), load_network(options.net),
      options.match_table.empty() ? own_match_equities() : load_match_table(options.match_table)};
  if (!options.opponent_net.empty()) {
    files.opponent_name = clean_line(options.opponent_net.stem().string());
    files.opponent = load_network(options.opponent_net);
  }
  return files;
}

Provenance provenance_of(const CoreFiles& files) {
  Provenance provenance{files.net_name + "/" + network_identity(files.net), SIXFOLD_VERSION};
  if (files.opponent) {
    provenance.opponent_net = files.opponent_name + "/" + network_identity(*files.opponent);
  }
  return provenance;
}

ExactTables tables_of(const EngineOptions& options, int threads, TableCache& cache) {
  if (options.race_points == 0) return {};
  Workers workers(threads);
  return ExactTables::bear_offs(options.race_points, workers, cache);
}

}  // namespace

Position asked_position(const Question& question) {
  const std::string& position = question.position;
  const std::string& after = question.after;
  const int checkers = question.checkers;
  if (checkers < 1 || checkers > kMaxCheckers) {
    throw InputError(std::to_string(checkers) + " is not a number of checkers", "checkers",
                     "1 to 15");
  }
  if (position.empty() == after.empty()) {
    throw InputError(position.empty() ? "no position" : "both a position and a line of plays",
                     "position", "one of position and after");
  }
  if (position.empty()) {
    if (question.both_from_roller) {
      throw InputError("a line of plays has each side's own numbers", "both from roller",
                       "a position");
    }
    return parse_line(after, checkers);
  }
  return parse_position(position, checkers,
                        question.both_from_roller ? Numbering::kRollers : Numbering::kOwn);
}

WantedPlays wanted_plays(const Decision& decision, const std::string& plays) {
  WantedPlays wanted;
  for (std::size_t begin = 0; !plays.empty() && begin <= plays.size();) {
    const std::size_t end = std::min(plays.find(';', begin), plays.size());
    if (!decision.roll) throw InputError("plays without a roll", "plays", "dice, such as 64");
    const PlayKey play =
        parse_play(decision.position, *decision.roll, plays.substr(begin, end - begin));
    if (std::find(wanted.named.begin(), wanted.named.end(), play) != wanted.named.end()) {
      throw InputError("the same play twice in '" + plays + "'", "plays", "each play once");
    }
    wanted.named.push_back(play);
    begin = end + 1;
  }
  wanted.alone = !wanted.named.empty();
  return wanted;
}

Core::Core(const EngineOptions& options) : Core(files_of(options), options) {}

Core::Core(CoreFiles files, const EngineOptions& options, std::optional<ExactTables> tables)
    : options_(options),
      threads_(options.threads > 0 ? options.threads : available_threads()),
      level_(options.instruction_set.empty() ? best_instruction_set()
                                             : instruction_set_named(options.instruction_set)),
      provenance_(provenance_of(files)),
      file_(std::move(files.net)),
      opponents_file_(std::move(files.opponent)),
      race_points_(options.race_points),
      match_table_(std::move(files.match_table)),
      cache_(options.cache, options.note),
      tables_(tables ? std::move(*tables) : tables_of(options, threads_, cache_)),
      luck_(file_.luck ? std::make_unique<NetworkLuck>(*file_.luck, level_) : nullptr),
      evaluators_(evaluators_with(tables_)) {}

std::unique_ptr<Core> Core::twin() const {
  const std::string name = provenance_.net.substr(0, provenance_.net.rfind('/'));
  const std::string& opponent = provenance_.opponent_net;
  return std::unique_ptr<Core>(new Core(
      {name, file_, match_table_, opponent.substr(0, opponent.rfind('/')), opponents_file_},
      options_, tables_));
}

std::uint64_t Core::identity() const {
  std::string all = format("{} {} {}", provenance_.net, provenance_.version, race_points_);
  if (opponents_file_) all += " against " + provenance_.opponent_net;
  return hash_of_bytes(all);
}

Core::OwnedEvaluators Core::evaluators_with(const ExactTables& tables) const {
  const auto made_of = [&](const NetworkFile& file, const std::string& name) {
    return inside(name, [&] {
      return std::make_unique<NetworkEvaluator>(file.networks, level_, tables, file.cube);
    });
  };
  return {made_of(file_, provenance_.net),
          opponents_file_ ? made_of(*opponents_file_, provenance_.opponent_net) : nullptr};
}

TrialPlayers Core::players() const {
  TrialPlayers players(*evaluators_.own, luck_.get());
  players.opponent = evaluators_.opponents.get();
  return players;
}

const Evaluator& Core::evaluator_for(const Decision& decision, const std::atomic<bool>* stop) {
  return *evaluators_for(decision, stop).own;
}

Core::Evaluators Core::evaluators_for(const Decision& decision, const std::atomic<bool>* stop) {
  // At the cube's present value: where it is turned at a match score, later play is another.
  Score score = decision.score;
  if (score.match && decision.cube) score.worth = cubeless_worth(score, *decision.cube);
  return evaluators_at(score, decision.position.roller.total(), stop);
}

Core::Evaluators Core::evaluators_at(const Score& score, int checkers,
                                     const std::atomic<bool>* stop) {
  if (checkers > SolvedGame::kMostCheckers) return evaluators_.all();
  const auto found = std::find_if(solved_.begin(), solved_.end(), [&](const Solved& each) {
    return each.checkers == checkers && each.worth == score.worth;
  });
  if (found != solved_.end()) {
    std::rotate(found, found + 1, solved_.end());
  } else {
    ExactTables tables = tables_;
    tables.game = solved(checkers, score, stop);
    // A game of two checkers at one score is megabytes, and scores there are hundreds.
    if (solved_.size() == kMostSolved) solved_.erase(solved_.begin());
    solved_.push_back({checkers, score.worth, evaluators_with(tables)});
  }
  return solved_.back().evaluators.all();
}

std::shared_ptr<const SolvedGame> Core::solved(int checkers, const Score& score,
                                               const std::atomic<bool>* stop) {
  Workers workers(threads_);
  std::optional<SolvedGame> game;
  if (checkers < SolvedGame::kMostCheckers) {
    SolvedGame::Settings settings;
    settings.checkers = checkers;
    settings.worth = score.worth;
    settings.stop = stop;
    game = SolvedGame::solve(settings, workers);
  } else if (score.worth == SolvedGame::Settings().worth) {
    game = SolvedGame::from_cache(checkers, cache_);
    if (!game && options_.note)
      options_.note("the game of three checkers is not solved yet: see `sixfold solve`");
  }
  return game ? std::make_shared<SolvedGame>(std::move(*game)) : nullptr;
}

Decision Core::decision(const Question& question) const {
  Decision decision;
  decision.position = asked_position(question);
  if (!question.dice.empty()) decision.roll = parse_roll(question.dice);
  decision.score = parse_score(question.score, match_table_);
  decision.cube = parse_asked_cube(question.cube).at(decision.score);
  decision.money = {question.jacoby, question.beavers};
  return decision;
}

RolloutSettings Core::settings(const Rolling& rolling) const {
  if (rolling.plain && rolling.luck != "auto" && rolling.luck != "none") {
    throw InputError("plain trials leave the luck in", "luck " + rolling.luck,
                     "none, or not plain");
  }
  RolloutSettings settings;
  settings.trials = rolling.trials;
  settings.half_width = rolling.half_width;
  settings.most_trials = rolling.most_trials;
  settings.confidence = rolling.confidence;
  settings.seed = rolling.seed;
  settings.lookahead = rolling.lookahead;
  settings.truncate = rolling.truncate;
  settings.stratified = !rolling.free_dice;
  settings.luck = luck_control(rolling.luck);
  if (rolling.plain) settings.make_plain();
  settings.known_ends = !rolling.play_on;
  return settings;
}

LuckControl Core::luck_control(const std::string& luck) const {
  if (luck == "none") return LuckControl::kNone;
  if (luck == "full") return LuckControl::kFull;
  if (luck == "auto") return luck_ ? LuckControl::kEstimated : LuckControl::kFull;
  if (luck != "net")
    throw InputError("'" + luck + "' is not known", "luck", "auto, net, full or none");
  static_cast<void>(required_luck());
  return LuckControl::kEstimated;
}

const LuckSource& Core::required_luck() const {
  if (!luck_) {
    throw InputError(provenance_.net + " has no luck networks", "luck",
                     "full or none, or a net made by `sixfold train --luck-for`");
  }
  return *luck_;
}

Instruments Core::instruments(const Decision& decision, TrialRunner& runner,
                              const std::atomic<bool>* stop) {
  const Evaluators evaluators = evaluators_for(decision, stop);
  TrialPlayers players(*evaluators.own, luck_.get());
  players.opponent = evaluators.opponents;
  // A game of few checkers may have been solved since.
  const bool is_solved = players.known(decision.position).has_value();
  players.identity = hash_of_bytes(format("{} {}", identity(), is_solved));
  return {players, tables_, match_table_, runner};
}

std::unique_ptr<TrialRunner> Core::runner(RunControl control, StateKeeper* keeper) const {
  if (runner_for_) return runner_for_(std::move(control), keeper);
  return std::make_unique<ThreadRunner>(threads_, std::move(control), keeper);
}

std::unique_ptr<TrialRunner> Core::watched_runner(const Watch& watch) const {
  RunControl control{watch.stop};
  if (watch.progress) {
    control.progress = [&watch](const RolloutProgress& at) {
      watch.progress({at.trials_done, at.trials_expected, at.half_width, at.rollout});
    };
  }
  return runner(std::move(control));
}

Evaluation Core::evaluate(const Decision& decision) {
  return evaluate_decision(evaluator_for(decision), decision, tables_);
}

CubeStudy Core::study_cube(const Decision& decision) {
  return sixfold::study_cube(evaluator_for(decision), decision, tables_);
}

ReviewTools Core::review_tools() {
  const auto evaluator_of = [this](const Decision& decision) -> const Evaluator& {
    return evaluator_for(decision);
  };
  return {evaluator_of, tables_, match_table_};
}

MatchReview Core::review(const RecordedMatch& match, const std::atomic<bool>* stop) {
  return review_match(review_tools(), match, stop);
}

void Core::look_ahead(MatchReview& review, const std::atomic<bool>* stop) {
  sixfold::look_ahead(review_tools(), review, stop);
}

void Core::deepen(MatchReview& review, const ReviewDepth& depth, const Watch& watch,
                  const std::function<void(std::size_t, std::size_t)>& started) {
  if (opponents_file_) {
    throw InputError("both players of a match are judged",
                     "opponent net " + provenance_.opponent_net, "none");
  }
  const std::unique_ptr<TrialRunner> its = watched_runner(watch);
  const auto is_stopped = [&] { return watch.stop != nullptr && *watch.stop; };
  ReviewRoller roller;
  roller.plays = [&](const RolloutQuestion& question) -> std::optional<RolledDecision> {
    if (is_stopped()) return std::nullopt;
    return roll_out(question, *its, watch.stop);
  };
  roller.cube = [&](const RolloutQuestion& question) -> std::optional<CubeStudy> {
    if (is_stopped()) return std::nullopt;
    return roll_out_cube(question, *its, watch.stop);
  };
  roller.started = started;
  roll_out_dear_turns(review_tools(), roller, depth, review);
}

std::vector<OutcomeDistribution> Core::distributions(std::span<const Position> positions,
                                                     int checkers) {
  constexpr std::size_t kTurn = 256;  // Positions: enough that handing turns out costs nothing.
  const Evaluator& evaluator = *evaluators_at(money_score(), checkers, nullptr).own;
  std::vector<OutcomeDistribution> outcomes(positions.size());
  Workers workers(threads_);
  workers.for_each((positions.size() + kTurn - 1) / kTurn, [&](std::size_t turn) {
    const std::size_t end = std::min((turn + 1) * kTurn, positions.size());
    for (std::size_t i = turn * kTurn; i < end; ++i) outcomes[i] = evaluator.evaluate(positions[i]);
  });
  return outcomes;
}

RolledDecision Core::roll_out(const RolloutQuestion& question, TrialRunner& runner,
                              const std::atomic<bool>* stop) {
  return roll_out_decision(instruments(question.decision, runner, stop), question.decision,
                           question.settings, question.grades, question.wanted);
}

std::optional<CubeStudy> Core::roll_out_cube(const RolloutQuestion& question, TrialRunner& runner,
                                             const std::atomic<bool>* stop) {
  return sixfold::roll_out_cube(instruments(question.decision, runner, stop), question.decision,
                                question.settings);
}

RolledDecision Core::roll_out(const RolloutQuestion& question, const Watch& watch) {
  const std::unique_ptr<TrialRunner> its = watched_runner(watch);
  return roll_out(question, *its, watch.stop);
}

std::optional<CubeStudy> Core::roll_out_cube(const RolloutQuestion& question, const Watch& watch) {
  const std::unique_ptr<TrialRunner> its = watched_runner(watch);
  return roll_out_cube(question, *its, watch.stop);
}

std::optional<FlipStudy> Core::flip(const Decision& decision, const RolloutSettings& settings,
                                    const Watch& watch) {
  const std::unique_ptr<TrialRunner> its = watched_runner(watch);
  return study_flip(instruments(decision, *its, watch.stop), decision.position, *decision.roll,
                    settings);
}

Lesson Core::lesson(const LessonPlan& plan, const Watch& watch,
                    const std::function<void(const LessonPart&)>& part_started) {
  const std::unique_ptr<TrialRunner> its = watched_runner(watch);
  return lesson(plan, *its, watch.stop, part_started);
}

Lesson Core::lesson(const LessonPlan& plan, TrialRunner& runner, const std::atomic<bool>* stop,
                    const std::function<void(const LessonPart&)>& part_started) {
  return make_lesson([&](const Decision& decision) { return instruments(decision, runner, stop); },
                     plan,
                     [&](const LessonPart& part) {
                       if (part_started) part_started(part);
                     });
}

}  // namespace sixfold
