#include "train/cube_trainer.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <utility>

#include "rules/game_result.h"
#include "rules/start.h"
#include "train/checkpoint.h"
#include "train/dense.h"
#include "train/softmax.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kGamesAnIteration = 1024;
constexpr std::uint64_t kGamesATask = 4;
constexpr std::size_t kBlock = 256;
/// What followed in a game is as noisy as it is honest: see train/README.md.
constexpr double kLambda = 0.85;
/// How much a weight is held where it started, in squared inputs.
constexpr double kHold = 1.0;

constexpr const char* kFormat = "sixfold.cube-checkpoint/1";

/// Which lives a place of the cube is about, by number in CubeLives.
constexpr std::array<std::array<std::size_t, 2>, 3> kLivesOf{{{2, 3}, {0, 0}, {1, 1}}};
constexpr std::size_t lives_of(std::size_t owner) { return owner == 0 ? 2 : 1; }

/// What a head starts from: the means that stand in where there is none.
double first_weight(std::size_t input, std::size_t hidden, std::size_t phase) {
  if (input != hidden) return 0.0;  // the constant is the first shape
  return phase == static_cast<std::size_t>(Phase::kRace) ? kRaceCubeLife : kContactCubeLife;
}

}  // namespace

CubeRecipe cube_recipe_named(std::string_view name) {
  if (name == "quick") return {"quick", 10'240};
  if (name == "standard") return {"standard", 102'400};
  throw InputError("'" + std::string(name) + "' is not a recipe", "recipe", "quick or standard");
}

CubeTrainer::CubeTrainer(CubeRecipe recipe, NetworkFile evaluator, std::uint64_t seed, int threads)
    : recipe_(std::move(recipe)), file_(std::move(evaluator)), seed_(seed), workers_(threads) {
  file_.cube.clear();
  static_cast<void>(start_position(file_.card.checkers));
  static_cast<void>(NetworkEvaluator(file_.networks));
  two_sided_ = std::make_shared<TwoSidedTable>(workers_);
  for_each_network(file_.networks, [&](const char*, const Network& network) {
    rows_.push_back(baked_rows(network.first, static_cast<std::size_t>(network.hidden)));
    const std::size_t inputs = static_cast<std::size_t>(network.hidden) + kOutcomeShapes;
    CubeSquares& squares = squares_.emplace_back();
    for (std::size_t owner = 0; owner < squares.of_owner.size(); ++owner) {
      const std::size_t n = inputs * lives_of(owner);
      squares.of_owner[owner].products.assign(n * n, 0.0f);
      squares.of_owner[owner].targets.assign(n, 0.0f);
    }
  });
}

NetworkFile CubeTrainer::result() const { return file_; }

std::vector<float> CubeTrainer::inputs_of(const Position& position, std::size_t phase) const {
  const Network& net = network(phase);
  const auto hidden = static_cast<std::size_t>(net.hidden);
  std::vector<float> inputs(net.first_bias);
  for (const Row row : active_rows(position)) {
    const float* const values = rows_[phase].data() + row * hidden;
    for (std::size_t h = 0; h < hidden; ++h) inputs[h] += values[h];
  }
  for (float& unit : inputs) {
    unit = std::clamp(unit, 0.0f, 1.0f);
    unit *= unit;
  }
  std::array<float, kSecondUnits> second;
  std::copy(net.second_bias.begin(), net.second_bias.end(), second.begin());
  for (std::size_t h = 0; h < hidden; ++h) {
    if (inputs[h] == 0.0f) continue;
    const float* const weights = net.second_weights.data() + h * kSecondUnits;
    for (std::size_t s = 0; s < kSecondUnits; ++s) second[s] += inputs[h] * weights[s];
  }
  float outcomes[kOutcomeCount];
  std::copy(net.head_bias.begin(), net.head_bias.end(), outcomes);
  for (std::size_t s = 0; s < kSecondUnits; ++s) {
    const float unit = std::max(second[s], kLeak * second[s]);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      outcomes[o] += unit * net.head_weights[s * kOutcomeCount + o];
    }
  }
  softmax(outcomes, possible_outcomes(position));
  float shapes[kOutcomeShapes];
  outcome_shapes(outcomes, shapes);
  inputs.insert(inputs.end(), std::begin(shapes), std::end(shapes));
  return inputs;
}

std::vector<std::vector<CubeTrainer::Case>> CubeTrainer::play(std::uint64_t games) {
  ExactTables tables;
  tables.two_sided = two_sided_;
  const NetworkEvaluator evaluator(file_.networks, best_instruction_set(), tables, file_.cube);
  const Position start = start_position(file_.card.checkers);
  std::vector<std::vector<Case>> played(games);
  workers_.for_each((games + kGamesATask - 1) / kGamesATask, [&](std::size_t task) {
    ChoiceScratch scratch;
    const std::uint64_t last = std::min((task + 1) * kGamesATask, games);
    for (std::uint64_t i = task * kGamesATask; i < last; ++i) {
      for (CubeSample& sample : cube_game_samples(evaluator, *two_sided_, start, kLambda, seed_,
                                                  games_ + i, scratch)) {
        const Phase phase = stand_in_for(phase_of(sample.position), rows_.size());
        std::vector<float> inputs = inputs_of(sample.position, static_cast<std::size_t>(phase));
        played[i].push_back({sample, std::move(inputs)});
      }
    }
  });
  return played;
}

/// Means over games of the iteration's products, mixed into those of all before.
void CubeTrainer::add(const std::vector<const Case*>& cases, std::size_t phase,
                      std::uint64_t games) {
  const std::uint64_t iteration = games_ / kGamesAnIteration + 1;
  const auto share = static_cast<float>(2.0 / static_cast<double>(iteration + 1));
  workers_.for_each(squares_[phase].of_owner.size(), [&](std::size_t owner) {
    CubeSquares::System& system = squares_[phase].of_owner[owner];
    const std::size_t n = system.targets.size();
    const std::size_t each = n / lives_of(owner);
    Matrix products = Matrix::Zero(index(n), index(n));
    Matrix targets = Matrix::Zero(index(n), 1);
    for (std::size_t first = 0; first < cases.size(); first += kBlock) {
      const std::size_t rows = std::min(kBlock, cases.size() - first);
      Matrix inputs(index(rows), index(n));
      Matrix target(index(rows), 1);
      for (std::size_t i = 0; i < rows; ++i) {
        const Case& one = *cases[first + i];
        double missing = one.sample.target.of[owner] - one.sample.dead;
        for (std::size_t l = 0; l < lives_of(owner); ++l) {
          const double gain = one.sample.gain[kLivesOf[owner][l]];
          for (std::size_t k = 0; k < each; ++k) {
            inputs(index(i), index(l * each + k)) = static_cast<float>(gain) * one.inputs[k];
          }
          missing -= gain * first_weight(each - kOutcomeShapes, each - kOutcomeShapes, phase);
        }
        target(index(i), 0) = static_cast<float>(missing);
      }
      products.selfadjointView<Eigen::Lower>().rankUpdate(inputs.transpose());
      targets.noalias() += inputs.transpose() * target;
    }
    const float each_game = share / static_cast<float>(games);
    MatrixView all(system.products.data(), index(n), index(n));
    MatrixView all_targets(system.targets.data(), index(n), 1);
    all = (1.0f - share) * all + each_game * products;
    all_targets = (1.0f - share) * all_targets + each_game * targets;
  });
}

void CubeTrainer::solve() {
  // Games count by the number of their iteration; so many alike would say as much.
  const double iterations = std::ceil(static_cast<double>(games_) / kGamesAnIteration);
  const double games =
      1.5 * iterations * (iterations + 1.0) / (2.0 * iterations + 1.0) * kGamesAnIteration;
  CubeHeads heads(rows_.size());
  for (std::size_t phase = 0; phase < heads.size(); ++phase) {
    const auto hidden = static_cast<std::size_t>(network(phase).hidden);
    heads[phase].hidden = static_cast<int>(hidden);
    heads[phase].hidden_weights.resize(hidden * kLifeCount);
    heads[phase].shape_weights.resize(kOutcomeShapes * kLifeCount);
  }
  workers_.for_each(heads.size() * 3, [&](std::size_t task) {
    const std::size_t phase = task / 3;
    const std::size_t owner = task % 3;
    const CubeSquares::System& system = squares_[phase].of_owner[owner];
    const std::size_t n = system.targets.size();
    const std::size_t each = n / lives_of(owner);
    const std::size_t hidden = each - kOutcomeShapes;
    Eigen::MatrixXd products = view(system.products, n, n).cast<double>();
    products.diagonal().array() += kHold / games;
    const Eigen::VectorXd targets = view(system.targets, n, 1).cast<double>();
    const Eigen::VectorXd weights =
        products.selfadjointView<Eigen::Lower>().ldlt().solve(targets);
    for (std::size_t l = 0; l < lives_of(owner); ++l) {
      const std::size_t life = kLivesOf[owner][l];
      for (std::size_t k = 0; k < each; ++k) {
        const double weight = weights(index(l * each + k)) + first_weight(k, hidden, phase);
        std::vector<float>& to =
            k < hidden ? heads[phase].hidden_weights : heads[phase].shape_weights;
        to[(k < hidden ? k : k - hidden) * kLifeCount + life] = static_cast<float>(weight);
      }
    }
  });
  file_.cube = std::move(heads);
}

CubeIterationReport CubeTrainer::run_iteration() {
  const std::uint64_t count = std::min(kGamesAnIteration, recipe_.games - games_);
  const std::vector<std::vector<Case>> games = play(count);
  std::vector<std::vector<const Case*>> by_phase(rows_.size());
  CubeIterationReport report;
  std::array<double, 2> squares{};
  std::array<double, 2> numbers{};
  for (const std::vector<Case>& game : games) {
    for (const Case& one : game) {
      const CubeSample& sample = one.sample;
      const Phase phase = stand_in_for(phase_of(sample.position), rows_.size());
      by_phase[static_cast<std::size_t>(phase)].push_back(&one);
      ++report.positions;
      const double target = sample.target[CubeOwner::kCentred];
      if (target <= -1.0 || target >= 1.0) continue;
      const double error = target - sample.value[CubeOwner::kCentred];
      const std::size_t kind = phase == Phase::kRace ? 1 : 0;
      squares[kind] += error * error;
      numbers[kind] += 1.0;
    }
  }
  for (std::size_t phase = 0; phase < by_phase.size(); ++phase) add(by_phase[phase], phase, count);
  report.contact_error = std::sqrt(squares[0] / std::max(numbers[0], 1.0));
  report.race_error = std::sqrt(squares[1] / std::max(numbers[1], 1.0));
  games_ += count;
  report.games = games_;
  solve();
  return report;
}

namespace {

std::string system_name(std::size_t phase, std::size_t owner, const char* part) {
  return std::string(kNetworks[phase].first) + "." + std::to_string(owner) + "." + part;
}

}  // namespace

void CubeTrainer::save_checkpoint(const std::filesystem::path& path) const {
  TensorFile file;
  file.metadata["format"] = kFormat;
  file.metadata["feature_set"] = std::to_string(kFeatureSetVersion);
  file.metadata["recipe"] = recipe_.name;
  file.metadata["evaluator"] = evaluator_identity(file_);
  file.metadata["seed"] = std::to_string(seed_);
  file.metadata["games"] = std::to_string(games_);
  file.metadata["planned_games"] = std::to_string(recipe_.games);
  for (std::size_t phase = 0; phase < squares_.size(); ++phase) {
    for (std::size_t owner = 0; owner < 3; ++owner) {
      const CubeSquares::System& system = squares_[phase].of_owner[owner];
      const std::size_t n = system.targets.size();
      file.tensors[system_name(phase, owner, "products")] = {{n, n}, system.products};
      file.tensors[system_name(phase, owner, "targets")] = {{n, 1}, system.targets};
    }
  }
  write_tensors(path, file);
}

CubeTrainer CubeTrainer::resumed(const std::filesystem::path& checkpoint, NetworkFile evaluator,
                                 int threads) {
  const TensorFile file = read_tensors(checkpoint);
  const std::string where = checkpoint.string();
  require_checkpoint(file, kFormat, std::to_string(kFeatureSetVersion), where);
  const std::string identity = evaluator_identity(evaluator);
  if (const std::string stored = stored_text(file, "evaluator"); stored != identity) {
    throw InputError("is for the evaluator " + stored, where, identity);
  }
  CubeRecipe recipe = inside(where, [&] { return cube_recipe_named(stored_text(file, "recipe")); });
  recipe.games = stored_number<std::uint64_t>(file, "planned_games", where);
  CubeTrainer trainer(recipe, std::move(evaluator),
                      stored_number<std::uint64_t>(file, "seed", where), threads);
  trainer.games_ = stored_number<std::uint64_t>(file, "games", where);
  if (trainer.games_ > recipe.games || recipe.games == 0) {
    throw InputError(
        std::to_string(trainer.games_) + " games of " + std::to_string(recipe.games) + " planned",
        where, "no more games than planned, and some");
  }
  for (std::size_t phase = 0; phase < trainer.squares_.size(); ++phase) {
    for (std::size_t owner = 0; owner < 3; ++owner) {
      CubeSquares::System& system = trainer.squares_[phase].of_owner[owner];
      for (const auto& [part, values] :
           {std::pair("products", &system.products), std::pair("targets", &system.targets)}) {
        const std::string name = system_name(phase, owner, part);
        const auto found = file.tensors.find(name);
        if (found == file.tensors.end() || found->second.values.size() != values->size()) {
          throw InputError("tensor '" + name + "' is missing or of another size", where,
                           std::to_string(values->size()) + " numbers");
        }
        *values = found->second.values;
      }
    }
  }
  if (trainer.games_ > 0) trainer.solve();
  return trainer;
}

}  // namespace sixfold
