#include "train/luck_trainer.h"

#include <algorithm>
#include <utility>

#include "rollout/choice.h"
#include "rules/game_result.h"
#include "rules/start.h"
#include "train/adam.h"
#include "train/checkpoint.h"

namespace sixfold {
namespace {

constexpr std::size_t kBatch = 256;
constexpr std::uint64_t kGamesAnIteration = 2048;
constexpr std::uint64_t kGamesATask = 4;
/// One position in so many is labelled: neighbours in a game say much the same, and labelling takes
/// about forty times as long as playing on.
constexpr std::uint32_t kPositionsALabel = 4;

// Streams of the run's seed: games count from 0, the others start far above.
constexpr std::uint64_t kShuffleStreams = std::uint64_t{1} << 61;
constexpr std::uint64_t kStartStreams = std::uint64_t{1} << 62;

constexpr const char* kFormat = "sixfold.luck-checkpoint/2";

LuckLearnerState start_of(int units, int hidden, std::uint64_t seed, std::uint64_t stream) {
  RandomStream random(seed, kStartStreams + stream);
  return initial_luck_state(units, hidden, random);
}

void add_state(TensorFile& file, const std::string& prefix, const LuckLearnerState& state) {
  add_luck_network(file, prefix + ".weights", state.weights);
  add_luck_network(file, prefix + ".average", state.average);
  add_luck_network(file, prefix + ".first_moment", state.first_moment);
  add_luck_network(file, prefix + ".second_moment", state.second_moment);
  file.metadata[prefix + ".steps"] = std::to_string(state.steps);
}

LuckLearnerState take_state(const TensorFile& file, const std::string& prefix, int units,
                            int hidden, const std::string& where) {
  LuckLearnerState state;
  state.weights = take_luck_network(file, prefix + ".weights", where);
  state.average = take_luck_network(file, prefix + ".average", where);
  state.first_moment = take_luck_network(file, prefix + ".first_moment", where);
  state.second_moment = take_luck_network(file, prefix + ".second_moment", where);
  state.steps = stored_number<std::uint64_t>(file, prefix + ".steps", where);
  for (const LuckNetwork* part :
       {&state.weights, &state.average, &state.first_moment, &state.second_moment}) {
    if (part->units != units || part->hidden != hidden) {
      throw InputError(
          prefix + " has a part of " + std::to_string(part->units) + " units and " +
              std::to_string(part->hidden) + " hidden units",
          where, std::to_string(units) + " and " + std::to_string(hidden) + ", as the recipe says");
    }
  }
  return state;
}

}  // namespace

LuckRecipe luck_recipe_named(std::string_view name) {
  if (name == "quick") return {"quick", 20'000, 64, 64, 64, 64, 2e-3f, 2e-5f};
  if (name == "standard") return {"standard", 600'000, 128, 128, 64, 64, 2e-3f, 2e-5f};
  throw InputError("'" + std::string(name) + "' is not a recipe", "recipe", "quick or standard");
}

LuckTrainer::LuckTrainer(LuckRecipe recipe, NetworkFile evaluator, std::uint64_t seed, int threads)
    : LuckTrainer(recipe, std::move(evaluator), seed, threads,
                  start_of(recipe.contact_units, recipe.contact_hidden, seed, 0),
                  start_of(recipe.race_units, recipe.race_hidden, seed, 1)) {}

LuckTrainer::LuckTrainer(LuckRecipe recipe, NetworkFile evaluator, std::uint64_t seed, int threads,
                         LuckLearnerState contact, LuckLearnerState race)
    : recipe_(std::move(recipe)),
      file_(std::move(evaluator)),
      seed_(seed),
      workers_(threads),
      evaluator_(std::make_unique<NetworkEvaluator>(file_.networks)),
      contact_(std::move(contact), threads),
      race_(std::move(race), threads) {
  static_cast<void>(start_position(file_.card.checkers));
}

NetworkFile LuckTrainer::result() const {
  NetworkFile file = file_;
  file.luck = LuckPair{contact_.state().average, race_.state().average};
  return file;
}

std::vector<LuckSample> labelled_game(const Evaluator& evaluator, int checkers, std::uint64_t seed,
                                      std::uint64_t game) {
  RandomStream random(seed, game);
  ChoiceScratch scratch;
  std::vector<LuckSample> samples;
  Position position = start_position(checkers);
  while (!game_over(position)) {
    if (random.below(kPositionsALabel) == 0) {
      const BestPlays plays = best_plays(evaluator, position, kMoneyWorth, scratch);
      const OutcomeDistribution mean = plays.mean();
      LuckSample& sample = samples.emplace_back();
      sample.position = position;
      for (std::size_t r = 0; r < kRollCount; ++r) {
        for (std::size_t o = 0; o < kOutcomeCount; ++o) {
          sample.luck[r][o] = static_cast<float>(plays.of_roll[r].outcomes[o] - mean[o]);
        }
      }
    }
    const Choice choice = best_play(evaluator, position, random.roll(), kMoneyWorth, scratch);
    position = position_after(position, choice.play);
  }
  return samples;
}

std::vector<std::vector<LuckSample>> LuckTrainer::label(std::uint64_t games) {
  std::vector<std::vector<LuckSample>> labelled(games);
  workers_.for_each((games + kGamesATask - 1) / kGamesATask, [&](std::size_t task) {
    const std::uint64_t last = std::min((task + 1) * kGamesATask, games);
    for (std::uint64_t i = task * kGamesATask; i < last; ++i) {
      labelled[i] = labelled_game(*evaluator_, file_.card.checkers, seed_, games_ + i);
    }
  });
  return labelled;
}

LuckIterationReport LuckTrainer::run_iteration() {
  const std::uint64_t count = std::min(kGamesAnIteration, recipe_.games - games_);
  const std::vector<std::vector<LuckSample>> games = label(count);
  std::vector<const LuckSample*> contact;
  std::vector<const LuckSample*> race;
  for (const std::vector<LuckSample>& game : games) {
    for (const LuckSample& sample : game) {
      (is_race(sample.position) ? race : contact).push_back(&sample);
    }
  }
  // Both phases may be shuffled alike: they have no position in common.
  RandomStream random(seed_, kShuffleStreams + games_);
  for (std::vector<const LuckSample*>* samples : {&contact, &race}) {
    for (std::size_t i = samples->size(); i-- > 1;) {
      std::swap((*samples)[i], (*samples)[random.below(static_cast<std::uint32_t>(i + 1))]);
    }
  }
  LuckIterationReport report;
  report.positions = contact.size() + race.size();
  report.contact_explained = learn(contact_, contact).explained();
  report.race_explained = learn(race_, race).explained();
  games_ += count;
  report.games = games_;
  return report;
}

LuckSquares LuckTrainer::learn(LuckLearner& learner,
                               const std::vector<const LuckSample*>& samples) {
  LuckSquares squares;
  if (samples.empty()) return squares;
  const double progress = static_cast<double>(games_) / static_cast<double>(recipe_.games);
  const float rate = rate_after(progress, recipe_.first_rate, recipe_.last_rate);
  const std::size_t batches = std::max<std::size_t>(1, samples.size() / kBatch);
  const std::span<const LuckSample* const> all(samples);
  for (std::size_t b = 0; b < batches; ++b) {
    const std::size_t begin = b * all.size() / batches;
    const std::size_t end = (b + 1) * all.size() / batches;
    squares += learner.learn(all.subspan(begin, end - begin), rate);
  }
  return squares;
}

void LuckTrainer::save_checkpoint(const std::filesystem::path& path) const {
  TensorFile file;
  file.metadata["recipe"] = recipe_.name;
  file.metadata["evaluator"] = network_identity(file_);
  file.metadata["seed"] = std::to_string(seed_);
  file.metadata["games"] = std::to_string(games_);
  file.metadata["planned_games"] = std::to_string(recipe_.games);
  add_state(file, "contact", contact_.state());
  add_state(file, "race", race_.state());
  write_checkpoint(path, std::move(file), kFormat);
}

LuckTrainer LuckTrainer::resumed(const std::filesystem::path& checkpoint, NetworkFile evaluator,
                                 int threads) {
  const TensorFile file = read_checkpoint(checkpoint, kFormat);
  const std::string where = checkpoint.string();
  require_evaluator(file, network_identity(evaluator), where);
  LuckRecipe recipe = inside(where, [&] { return luck_recipe_named(stored_text(file, "recipe")); });
  recipe.games = stored_number<std::uint64_t>(file, "planned_games", where);
  LuckTrainer trainer(
      recipe, std::move(evaluator), stored_number<std::uint64_t>(file, "seed", where), threads,
      take_state(file, "contact", recipe.contact_units, recipe.contact_hidden, where),
      take_state(file, "race", recipe.race_units, recipe.race_hidden, where));
  trainer.games_ = stored_number<std::uint64_t>(file, "games", where);
  require_games(trainer.games_, recipe.games, where);
  return trainer;
}

}  // namespace sixfold
