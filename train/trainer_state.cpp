// The state of a run as a checkpoint: written, and read back.
#include <array>
#include <bit>
#include <sstream>

#include "base/input_error.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "train/checkpoint.h"
#include "train/trainer.h"

namespace sixfold {
namespace {

constexpr const char* kFormat = "sixfold.checkpoint/2";

void add_state(TensorFile& file, const std::string& prefix, const LearnerState& state) {
  add_network(file, prefix + ".weights", state.weights);
  add_network(file, prefix + ".average", state.average);
  add_network(file, prefix + ".first_moment", state.first_moment);
  add_network(file, prefix + ".second_moment", state.second_moment);
  file.metadata[prefix + ".steps"] = std::to_string(state.steps);
}

using CurveNumbers = std::array<float, 8>;
static_assert(sizeof(CurvePoint) == sizeof(CurveNumbers));

void add_curve(TensorFile& file, const std::vector<CurvePoint>& curve) {
  Tensor tensor{{curve.size(), CurveNumbers().size()}, {}};
  for (const CurvePoint& point : curve) {
    const auto numbers = std::bit_cast<CurveNumbers>(point);
    tensor.values.insert(tensor.values.end(), numbers.begin(), numbers.end());
  }
  file.tensors["curve"] = std::move(tensor);
}

/// At least one point: the last is that which is not yet complete.
std::vector<CurvePoint> take_curve(const TensorFile& file, const std::string& where) {
  CurveNumbers numbers;
  const auto stored = file.tensors.find("curve");
  if (stored == file.tensors.end() || stored->second.values.empty() ||
      stored->second.shape !=
          std::vector{stored->second.values.size() / numbers.size(), numbers.size()}) {
    throw InputError("the learning curve is missing or has another shape", where,
                     "rows of " + std::to_string(numbers.size()) + " numbers");
  }
  std::vector<CurvePoint> curve;
  const std::vector<float>& values = stored->second.values;
  for (std::size_t i = 0; i < values.size(); i += numbers.size()) {
    std::copy_n(values.data() + i, numbers.size(), numbers.begin());
    curve.push_back(std::bit_cast<CurvePoint>(numbers));
  }
  return curve;
}

/// REQUIRES nothing of the file: networks of another width than `hidden` are refused.
LearnerState take_state(const TensorFile& file, const std::string& prefix, int hidden,
                        const std::string& where) {
  LearnerState state;
  state.weights = take_network(file, prefix + ".weights", where);
  state.average = take_network(file, prefix + ".average", where);
  state.first_moment = take_network(file, prefix + ".first_moment", where);
  state.second_moment = take_network(file, prefix + ".second_moment", where);
  state.steps = stored_number<std::uint64_t>(file, prefix + ".steps", where);
  for (const Network* part :
       {&state.weights, &state.average, &state.first_moment, &state.second_moment}) {
    if (part->hidden != hidden) {
      throw InputError(prefix + " has a part of " + std::to_string(part->hidden) + " hidden units",
                       where, std::to_string(hidden) + ", as the recipe says");
    }
  }
  return state;
}

Specialty take_specialty(const TensorFile& file, int checkers, const std::string& where) {
  Specialty specialty;
  inside(where, [&] {
    std::istringstream starts(stored_text(file, "starts"));
    for (std::string line; std::getline(starts, line);) {
      specialty.starts.push_back(parse_position(line, checkers));
    }
    specialty.score = parse_score(stored_text(file, "score"), own_match_equities());
  });
  specialty.parent = stored_text(file, "parent");
  if (file.tensors.contains("luck.contact.first")) {
    specialty.luck = LuckPair{take_luck_network(file, "luck.contact", where),
                              take_luck_network(file, "luck.race", where)};
  }
  return specialty;
}

}  // namespace

void Trainer::save_checkpoint(const std::filesystem::path& path) const {
  TensorFile file;
  file.metadata["recipe"] = recipe_.name;
  file.metadata["seed"] = std::to_string(seed_);
  file.metadata["checkers"] = std::to_string(checkers_);
  file.metadata["games"] = std::to_string(games_);
  file.metadata["planned_games"] = std::to_string(recipe_.games);
  file.metadata["contact_hidden"] = std::to_string(recipe_.contact_hidden);
  file.metadata["race_hidden"] = std::to_string(recipe_.race_hidden);
  file.metadata["iterations"] = std::to_string(iterations_);
  for (const Position& start : specialty_.starts)
    file.metadata["starts"] += position_text(start) + '\n';
  file.metadata["score"] = specialty_.score.name;
  file.metadata["parent"] = specialty_.parent;
  file.metadata["snapshot_games"] = std::to_string(snapshot_games_);
  for (std::size_t n = 0; n < learners_.size(); ++n) {
    add_state(file, kNetworks[n].first, learners_[n].state());
  }
  if (const std::optional<LuckPair>& luck = specialty_.luck) {
    add_luck_network(file, "luck.contact", luck->contact);
    add_luck_network(file, "luck.race", luck->race);
  }
  std::vector<CurvePoint> curve = curve_;
  curve.push_back(next_point_);
  add_curve(file, curve);
  if (snapshot_) add_networks(file, "snapshot.", *snapshot_);
  write_checkpoint(path, std::move(file), kFormat);
}

Trainer Trainer::resumed(const std::filesystem::path& checkpoint, int threads) {
  const TensorFile file = read_checkpoint(checkpoint, kFormat);
  const std::string where = checkpoint.string();
  Recipe recipe = inside(where, [&] { return recipe_named(stored_text(file, "recipe")); });
  recipe.games = stored_number<std::uint64_t>(file, "planned_games", where);
  recipe.contact_hidden = stored_number<int>(file, "contact_hidden", where);
  recipe.race_hidden = stored_number<int>(file, "race_hidden", where);
  const int checkers = stored_number<int>(file, "checkers", where);
  inside(where, [&] { static_cast<void>(start_position(checkers)); });
  recipe.phases = phases_in(file, "");
  std::vector<LearnerState> states;
  for (std::size_t p = 0; p < recipe.phases; ++p) {
    const bool is_race = static_cast<Phase>(p) == Phase::kRace;
    const int hidden = is_race ? recipe.race_hidden : recipe.contact_hidden;
    states.push_back(take_state(file, kNetworks[p].first, hidden, where));
  }
  Trainer trainer(recipe, stored_number<std::uint64_t>(file, "seed", where), checkers, threads,
                  std::move(states));
  trainer.games_ = stored_number<std::uint64_t>(file, "games", where);
  trainer.iterations_ = stored_number<std::uint64_t>(file, "iterations", where);
  trainer.snapshot_games_ = stored_number<std::uint64_t>(file, "snapshot_games", where);
  if (trainer.snapshot_games_ > 0) {
    trainer.snapshot_ = take_networks(file, "snapshot.", where);
  }
  trainer.curve_ = take_curve(file, where);
  trainer.next_point_ = trainer.curve_.back();
  trainer.curve_.pop_back();
  trainer.specialise(take_specialty(file, checkers, where));
  if (trainer.games_ > recipe.games || recipe.games == 0) {
    throw InputError(
        std::to_string(trainer.games_) + " games of " + std::to_string(recipe.games) + " planned",
        where, "no more games than planned, and some");
  }
  // Weights that no evaluator can hold are refused here, by the file's name.
  inside(where, [&] {
    static_cast<void>(NetworkEvaluator(trainer.current()));
    if (trainer.snapshot_) static_cast<void>(NetworkEvaluator(*trainer.snapshot_));
  });
  return trainer;
}

}  // namespace sixfold
