#include "train/trainer.h"

#include <algorithm>
#include <cmath>

#include "base/input_error.h"
#include "rules/game_result.h"
#include "rules/start.h"
#include "train/adam.h"
#include "train/duel.h"
#include "train/unit_order.h"

namespace sixfold {
namespace {

constexpr std::size_t kBatch = 512;
constexpr std::uint64_t kGamesATask = 8;
constexpr std::uint64_t kFewestGames = 200;
constexpr std::uint64_t kMostGames = 1000;
constexpr std::uint64_t kFirstSnapshot = 10'000;  // then at each tenfold
constexpr std::uint64_t kStrengthMeasures = 20;   // in the course of a run
constexpr std::uint64_t kStrengthPairs = 2000;
constexpr double kCurvePoints = 100.0;
constexpr std::uint64_t kSampledGames = 100;  // whose positions say which units are active

// Streams of the run's seed: games count from 0, the others start far above.
constexpr std::uint64_t kLookedAtStreams = std::uint64_t{1} << 60;
constexpr std::array<std::uint64_t, kPhaseCount / 2> kShuffleStreams{
    std::uint64_t{2} << 60, std::uint64_t{3} << 60, std::uint64_t{5} << 60};  // by pairs of phases
constexpr std::uint64_t kStartStreams = std::uint64_t{1} << 62;
constexpr std::uint64_t kDuelSeedOffset = 0x5eed;

LearnerState start_of(int hidden, std::uint64_t seed, std::uint64_t stream) {
  RandomStream random(seed, kStartStreams + stream);
  return initial_state(hidden, random);
}

std::vector<LearnerState> random_states(const Recipe& recipe, std::uint64_t seed) {
  std::vector<LearnerState> states;
  for (std::size_t p = 0; p < recipe.phases; ++p) {
    const bool is_race = static_cast<Phase>(p) == Phase::kRace;
    states.push_back(start_of(is_race ? recipe.race_hidden : recipe.contact_hidden, seed, p));
  }
  return states;
}

/// Which of `count` networks, in the order of phases, evaluates a position.
std::size_t network_of(const Position& position, std::size_t count) {
  return static_cast<std::size_t>(stand_in_for(phase_of(position), count));
}

/// The iteration's samples of one network, and where each belongs.
struct PhaseSamples {
  std::vector<Sample> samples;
  std::vector<std::pair<std::size_t, std::size_t>> places;  ///< (game, position)
};

/// For `count` networks in the order of phases.
std::vector<PhaseSamples> gather(const std::vector<GameRecord>& games, std::size_t count) {
  std::vector<PhaseSamples> phases(count);
  for (std::size_t g = 0; g < games.size(); ++g) {
    const std::vector<Position>& positions = games[g].positions;
    for (std::size_t t = 0; t + 1 < positions.size(); ++t) {
      PhaseSamples& phase = phases[network_of(positions[t], count)];
      Sample sample;
      sample.rows = active_rows(positions[t]);
      sample.possible = possible_outcomes(positions[t]);
      phase.samples.push_back(sample);
      phase.places.emplace_back(g, t);
    }
  }
  return phases;
}

/// For each of `count` networks those that it evaluates in games of an evaluator against itself.
std::vector<std::vector<Position>> sampled_positions(const Networks& networks, std::size_t count,
                                                     const Specialty& specialty, int checkers,
                                                     std::uint64_t seed, std::uint64_t first_game) {
  const NetworkEvaluator evaluator(networks);
  const Position usual_start = start_position(checkers);
  std::vector<std::vector<Position>> positions(count);
  ChoiceScratch scratch;
  for (std::uint64_t game = first_game; game < first_game + kSampledGames; ++game) {
    const GameRecord record = play_game(evaluator, specialty.start_of_game(game, usual_start),
                                        specialty.worth_of_game(game), seed, game, scratch);
    for (const Position& position : record.positions) {
      if (game_over(position)) continue;
      positions[network_of(position, count)].push_back(position);
    }
  }
  return positions;
}

/// The parent's networks, as many and as wide as the recipe asks for.
std::vector<LearnerState> states_from(const NetworkFile& parent, const Recipe& recipe,
                                      const Specialty& specialty, std::uint64_t seed) {
  const Networks& networks = parent.networks;
  const std::size_t count = std::max(recipe.phases, networks.phases());
  const auto positions =
      sampled_positions(networks, count, specialty, parent.card.checkers, seed, 0);
  std::vector<LearnerState> states;
  for (std::size_t n = 0; n < count; ++n) {
    const auto phase = static_cast<Phase>(n);
    const Network& network = networks.used_for(phase);
    const bool is_as_wide = phase == Phase::kRace || recipe.contact_hidden == 0;
    const int hidden = is_as_wide ? network.hidden : recipe.contact_hidden;
    if (hidden > network.hidden) {
      throw InputError(std::to_string(hidden) + " hidden units from a network of fewer", "width",
                       "at most " + std::to_string(network.hidden));
    }
    const bool is_narrower = hidden < network.hidden;
    states.push_back(state_from(is_narrower ? narrowed(network, hidden, positions[n]) : network));
  }
  return states;
}

}  // namespace

Recipe recipe_named(std::string_view name) {
  if (name == "quick") return {"quick", 100'000, 128, 64, 1.5e-3f, 1.5e-5f, 0.7f, 0.4};
  if (name == "standard") return {"standard", 1'000'000, 256, 128, 2e-3f, 1e-5f, 0.7f, 0.4};
  if (name == "full") return {"full", 1'500'000, 384, 128, 2e-3f, 1e-5f, 0.7f, 0.4};
  if (name == "refine") return {"refine", 700'000, 0, 0, 5e-4f, 1e-6f, 0.7f, 0.4, 6};
  throw InputError("'" + std::string(name) + "' is not a recipe", "recipe",
                   "quick, standard, full or refine");
}

Trainer::Trainer(Recipe recipe, std::uint64_t seed, int checkers, int threads, Specialty specialty)
    : Trainer(recipe, seed, checkers, threads, random_states(recipe, seed)) {
  specialise(std::move(specialty));
}

Trainer::Trainer(Recipe recipe, std::uint64_t seed, const NetworkFile& parent, int threads,
                 Specialty specialty)
    : Trainer(recipe, seed, parent.card.checkers, threads,
              states_from(parent, recipe, specialty, seed)) {
  recipe_.contact_hidden = learners_[0].state().weights.hidden;
  recipe_.race_hidden = learners_[1].state().weights.hidden;
  recipe_.phases = learners_.size();
  specialty.parent = network_identity(parent);
  specialise(std::move(specialty));
}

Trainer::Trainer(Recipe recipe, std::uint64_t seed, int checkers, int threads,
                 std::vector<LearnerState> states)
    : recipe_(std::move(recipe)),
      seed_(seed),
      checkers_(checkers),
      threads_(threads),
      workers_(threads),
      usual_start_(start_position(checkers)) {
  for (LearnerState& state : states) learners_.emplace_back(std::move(state), threads);
}

void Trainer::specialise(Specialty specialty) {
  specialty_ = std::move(specialty);
  const std::optional<LuckPair>& luck = specialty_.luck;
  luck_source_ = luck ? std::make_unique<NetworkLuck>(*luck) : nullptr;
}

Networks Trainer::of_learners(Network LearnerState::*part) const {
  Networks networks;
  for (std::size_t p = 0; p < learners_.size(); ++p) {
    networks.*kNetworks[p].second = learners_[p].state().*part;
  }
  return networks;
}

Networks Trainer::current() const { return of_learners(&LearnerState::weights); }

Networks Trainer::average() const { return of_learners(&LearnerState::average); }

NetworkFile Trainer::result() const {
  NetworkFile file;
  file.card.recipe = recipe_.name;
  file.card.games = games_;
  file.card.seed = seed_;
  file.card.checkers = checkers_;
  file.card.score = specialty_.score.name;
  file.card.parent = specialty_.parent;
  file.networks = average();
  const auto positions =
      sampled_positions(file.networks, learners_.size(), specialty_, checkers_, seed_, games_);
  auto of_network = positions.begin();
  for_each_network(file.networks, [&](const char*, Network& network) {
    network = with_units_paired(network, *of_network++);
  });
  return file;
}

std::vector<GameRecord> Trainer::play(std::uint64_t games) {
  const NetworkEvaluator evaluator(current());
  std::vector<GameRecord> records(games);
  workers_.for_each((games + kGamesATask - 1) / kGamesATask, [&](std::size_t task) {
    ChoiceScratch scratch;
    const Exploration exploration{.share = recipe_.tried};
    const std::uint64_t last = std::min((task + 1) * kGamesATask, games);
    for (std::uint64_t i = task * kGamesATask; i < last; ++i) {
      const std::uint64_t game = games_ + i;
      records[i] = play_game(evaluator, specialty_.start_of_game(game, usual_start_),
                             specialty_.worth_of_game(game), seed_, game, scratch,
                             is_explored(game) ? exploration : Exploration{});
    }
  });
  return records;
}

/// The luck of all rolls of each game; empty where none is taken out.
std::vector<std::vector<TargetOutcomes>> Trainer::luck_of(const std::vector<GameRecord>& games) {
  std::vector<std::vector<TargetOutcomes>> lucks(games.size());
  if (!luck_source_) return lucks;
  std::optional<NetworkEvaluator> evaluator;
  if (recipe_.looked_at > 0) evaluator.emplace(current());
  workers_.for_each(games.size(), [&](std::size_t g) {
    ChoiceScratch scratch;
    const OutcomeWorth worth = specialty_.worth_of_game(games_ + g);
    RandomStream random(seed_, kLookedAtStreams + games_ + g);
    lucks[g] = evaluator ? mended_luck_of_rolls(games[g], worth, *luck_source_, *evaluator,
                                                recipe_.looked_at, random, scratch)
                         : luck_of_rolls(games[g], worth, *luck_source_, scratch);
  });
  return lucks;
}

IterationReport Trainer::run_iteration() {
  const std::uint64_t wanted = std::clamp(games_ / 20, kFewestGames, kMostGames);
  const std::uint64_t count = std::min(wanted, recipe_.games - games_);
  const std::vector<GameRecord> games = play(count);

  std::vector<std::vector<TargetOutcomes>> values;
  for (const GameRecord& game : games) values.emplace_back(game.positions.size() - 1);
  std::vector<PhaseSamples> phases = gather(games, learners_.size());
  for (std::size_t p = 0; p < phases.size(); ++p) {
    if (phases[p].samples.empty()) continue;
    const std::vector<TargetOutcomes> outputs = learners_[p].predict(phases[p].samples);
    for (std::size_t i = 0; i < outputs.size(); ++i) {
      values[phases[p].places[i].first][phases[p].places[i].second] = outputs[i];
    }
  }

  const std::vector<std::vector<TargetOutcomes>> lucks = luck_of(games);
  IterationReport report;
  double unexplored = 0.0;
  for (std::size_t g = 0; g < games.size(); ++g) {
    const TargetOutcomes first = values[g].front();
    values[g] = lambda_returns(games[g], values[g], lucks[g], recipe_.lambda);
    if (is_explored(games_ + g)) continue;
    ++unexplored;
    const auto add = [&](double& mean, double value) { mean += (value - mean) / unexplored; };
    add(report.predicted_gammon_rate,
        static_cast<double>(first[0] + first[1] + first[4] + first[5]));
    add(report.plies_per_game, static_cast<double>(values[g].size()));
    const Outcome result = *game_result(games[g].positions.back());
    const bool single = result == Outcome::kLoseSingle || result == Outcome::kWinSingle;
    add(report.gammon_rate, single ? 0.0 : 1.0);
  }

  double total_loss = 0.0;
  std::size_t total_samples = 0;
  for (std::size_t p = 0; p < phases.size(); ++p) {
    std::vector<Sample>& samples = phases[p].samples;
    for (std::size_t i = 0; i < samples.size(); ++i) {
      samples[i].target = values[phases[p].places[i].first][phases[p].places[i].second];
    }
    if (samples.empty()) continue;
    const std::uint64_t stream = kShuffleStreams[p / 2] + 2 * iterations_ + p % 2;
    total_loss += learn(learners_[p], samples, stream);
    total_samples += samples.size();
  }
  games_ += count;
  ++iterations_;
  report.games = games_;
  report.loss = total_loss / static_cast<double>(total_samples);
  report.strength = measure_strength();
  add_to_curve(report, count);
  return report;
}

/// Learns all samples once, in random order; returns the sum of their losses. REQUIRES: not empty.
double Trainer::learn(Learner& learner, std::vector<Sample>& samples, std::uint64_t stream) {
  std::vector<const Sample*> order;
  for (const Sample& sample : samples) order.push_back(&sample);
  RandomStream random(seed_, stream);
  for (std::size_t i = order.size() - 1; i > 0; --i) {
    std::swap(order[i], order[random.below(static_cast<std::uint32_t>(i + 1))]);
  }
  const auto progress = static_cast<double>(games_) / static_cast<double>(recipe_.games);
  const float rate = rate_after(progress, recipe_.first_rate, recipe_.last_rate);

  const std::size_t batches = std::max<std::size_t>(1, order.size() / kBatch);
  const std::span<const Sample* const> all(order);
  double loss = 0.0;
  for (std::size_t b = 0; b < batches; ++b) {
    const std::size_t begin = b * all.size() / batches;
    const std::size_t end = (b + 1) * all.size() / batches;
    loss += learner.learn(all.subspan(begin, end - begin), rate) * static_cast<double>(end - begin);
  }
  return loss;
}

/// Freezes a snapshot at 10 thousand games and each tenfold; at twenty points of the run plays the
/// current average against the latest one.
std::optional<Strength> Trainer::measure_strength() {
  const std::uint64_t next = snapshot_ ? snapshot_games_ * 10 : kFirstSnapshot;
  if (games_ >= next && !finished()) {
    snapshot_ = average();
    snapshot_games_ = next;
    return std::nullopt;
  }
  const std::uint64_t interval = std::max<std::uint64_t>(1, recipe_.games / kStrengthMeasures);
  const std::uint64_t before = games_ - std::min(games_, kMostGames);
  if (!snapshot_ || (games_ / interval == before / interval && !finished())) return std::nullopt;
  const NetworkEvaluator now(average());
  const NetworkEvaluator then(*snapshot_);
  DuelSettings settings;
  settings.pairs = kStrengthPairs;
  settings.seed = seed_ + kDuelSeedOffset;
  settings.checkers = checkers_;
  settings.starts = specialty_.starts;
  settings.score = specialty_.score;
  settings.threads = threads_;
  const DuelResult result = duel(now, then, settings);
  return Strength{games_, snapshot_games_, result.points_per_game, result.standard_error};
}

void Trainer::add_to_curve(const IterationReport& report, std::uint64_t count) {
  const double before = static_cast<double>(games_ - count);
  const auto games = static_cast<double>(games_);
  // Until the next point `games` is the number of games that the means are over.
  next_point_.games += static_cast<float>(count);
  const float share = static_cast<float>(count) / next_point_.games;
  const auto average = [share](float& mean, double value) {
    mean += (static_cast<float>(value) - mean) * share;
  };
  average(next_point_.loss, report.loss);
  average(next_point_.plies, report.plies_per_game);
  average(next_point_.gammons, report.gammon_rate);
  average(next_point_.predicted_gammons, report.predicted_gammon_rate);
  const double interval = static_cast<double>(recipe_.games) / kCurvePoints;
  // A run's last iteration may be short: the one before it is left for the last point.
  const bool last_is_short = !finished() && games_ + count > recipe_.games;
  const bool is_due = std::floor(games / interval) != std::floor(before / interval);
  if ((!is_due || last_is_short) && !report.strength) return;
  next_point_.games = static_cast<float>(games_);
  if (report.strength) {
    next_point_.points = static_cast<float>(report.strength->points_per_game);
    next_point_.points_error = static_cast<float>(report.strength->standard_error);
    next_point_.snapshot_games = static_cast<float>(report.strength->snapshot_games);
  }
  curve_.push_back(next_point_);
  next_point_ = {};
}

}  // namespace sixfold
