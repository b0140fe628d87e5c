#include "train/cube_trainer.h"

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
/// What followed counts less a ply: it is unbiased, and noisy (train/README.md).
constexpr double kLambda = 0.85;
/// How much a weight is held where it started, in squared inputs.
constexpr double kHold = 1.0;

/// How much a share of a cube in the middle is held to that of an owned one: as if each position
/// said that the two are equal, give or take 1, where its targets are off by .1.
constexpr double kLikeOwned = 0.01;

constexpr const char* kFormat = "sixfold.cube-checkpoint/2";

/// Which lives a place of the cube is about, by number in CubeLives.
constexpr std::array<std::array<std::size_t, 2>, 3> kLivesOf{{{2, 3}, {0, 0}, {1, 1}}};
constexpr std::size_t lives_of(std::size_t owner) { return owner == 0 ? 2 : 1; }

/// What lives start from: the means that stand in where there is no head.
double first_life(std::size_t phase) {
  return phase == static_cast<std::size_t>(Phase::kRace) ? kRaceCubeLife : kContactCubeLife;
}

/// The weights of the lives of one phase, N x L, by least squares.
Eigen::MatrixXd weights_of(const CubeSquares& squares, std::size_t inputs, std::size_t phase,
                           double games) {
  const Eigen::Index n = index(inputs);
  Eigen::MatrixXd weights = Eigen::MatrixXd::Zero(n, index(kLifeCount));
  const auto solved = [&](Eigen::MatrixXd products, const Eigen::VectorXd& targets) {
    products.diagonal().array() += kHold / games;
    return Eigen::VectorXd(products.selfadjointView<Eigen::Lower>().ldlt().solve(targets));
  };
  const auto system = [&](std::size_t owner) {
    const CubeSquares::System& of_owner = squares.of_owner[owner];
    const std::size_t size = of_owner.targets.size();
    return std::pair<Eigen::MatrixXd, Eigen::VectorXd>(
        view(of_owner.products, size, size).cast<double>(),
        view(of_owner.targets, size, 1).cast<double>());
  };
  for (const std::size_t owner : {std::size_t{1}, std::size_t{2}}) {
    const auto [products, targets] = system(owner);
    weights.col(index(kLivesOf[owner][0])) = solved(products, targets);
  }
  auto [products, targets] = system(0);
  const Eigen::MatrixXd alone = view(squares.inputs, inputs, inputs).cast<double>();
  for (Eigen::Index l = 0; l < 2; ++l) {
    products.block(l * n, l * n, n, n) += kLikeOwned * alone;
    targets.segment(l * n, n) +=
        kLikeOwned * (alone.selfadjointView<Eigen::Lower>() * weights.col(l)).eval();
  }
  const Eigen::VectorXd centred = solved(products, targets);
  weights.col(2) = centred.head(n);
  weights.col(3) = centred.tail(n);
  // Lives were told from the means; the constant is the first of the shapes.
  weights.row(n - index(kOutcomeShapes)).array() += first_life(phase);
  return weights;
}

std::string inputs_name(std::size_t phase) {
  return std::string(kNetworks[phase].first) + ".inputs";
}

std::string system_name(std::size_t phase, std::size_t owner, const char* part) {
  return std::string(kNetworks[phase].first) + "." + std::to_string(owner) + "." + part;
}

}  // namespace

CubeRecipe cube_recipe_named(std::string_view name) {
  if (name == "quick") return {"quick", 10'240};
  if (name == "standard") return {"standard", 40'960};
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
    squares.inputs.assign(inputs * inputs, 0.0f);
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
      for (CubeSample& sample :
           cube_game_samples(evaluator, *two_sided_, start, kLambda, seed_, games_ + i, scratch)) {
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
  const auto mix = [&](std::vector<float>& into, const Matrix& sums) {
    MatrixView all(into.data(), sums.rows(), sums.cols());
    all = (1.0f - share) * all + share / static_cast<float>(games) * sums;
  };
  CubeSquares& squares = squares_[phase];
  constexpr std::size_t kOwners = 3;
  workers_.for_each(kOwners + 1, [&](std::size_t task) {
    // The last one is for the inputs alone.
    const std::size_t owner = task % kOwners;
    const bool alone = task == kOwners;
    const std::size_t lives = alone ? 1 : lives_of(owner);
    const std::size_t each = inputs(phase);
    const std::size_t n = each * lives;
    Matrix products = Matrix::Zero(index(n), index(n));
    Matrix targets = Matrix::Zero(index(n), 1);
    for (std::size_t first = 0; first < cases.size(); first += kBlock) {
      const std::size_t rows = std::min(kBlock, cases.size() - first);
      Matrix block(index(rows), index(n));
      Matrix target(index(rows), 1);
      for (std::size_t i = 0; i < rows; ++i) {
        const Case& one = *cases[first + i];
        double missing = one.sample.target.of[owner] - one.sample.dead;
        for (std::size_t l = 0; l < lives; ++l) {
          const double gain = alone ? 1.0 : one.sample.gain[kLivesOf[owner][l]];
          for (std::size_t k = 0; k < each; ++k) {
            block(index(i), index(l * each + k)) = static_cast<float>(gain) * one.inputs[k];
          }
          missing -= gain * first_life(phase);
        }
        target(index(i), 0) = static_cast<float>(missing);
      }
      products.selfadjointView<Eigen::Lower>().rankUpdate(block.transpose());
      if (!alone) targets.noalias() += block.transpose() * target;
    }
    if (alone) {
      mix(squares.inputs, products);
    } else {
      mix(squares.of_owner[owner].products, products);
      mix(squares.of_owner[owner].targets, targets);
    }
  });
}

void CubeTrainer::solve() {
  // Games count by the number of their iteration; so many alike would say as much.
  const double iterations = std::ceil(static_cast<double>(games_) / kGamesAnIteration);
  const double games =
      1.5 * iterations * (iterations + 1.0) / (2.0 * iterations + 1.0) * kGamesAnIteration;
  CubeHeads heads(rows_.size());
  workers_.for_each(heads.size(), [&](std::size_t phase) {
    const Eigen::MatrixXd found = weights_of(squares_[phase], inputs(phase), phase, games);
    CubeHead& head = heads[phase];
    head.hidden = network(phase).hidden;
    for (Eigen::Index k = 0; k < found.rows(); ++k) {
      std::vector<float>& to = k < head.hidden ? head.hidden_weights : head.shape_weights;
      for (Eigen::Index l = 0; l < found.cols(); ++l) to.push_back(static_cast<float>(found(k, l)));
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

void CubeTrainer::save_checkpoint(const std::filesystem::path& path) const {
  TensorFile file;
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
    const std::size_t n = inputs(phase);
    file.tensors[inputs_name(phase)] = {{n, n}, squares_[phase].inputs};
  }
  write_checkpoint(path, std::move(file), kFormat);
}

CubeTrainer CubeTrainer::resumed(const std::filesystem::path& checkpoint, NetworkFile evaluator,
                                 int threads) {
  const TensorFile file = read_checkpoint(checkpoint, kFormat);
  const std::string where = checkpoint.string();
  require_evaluator(file, evaluator_identity(evaluator), where);
  CubeRecipe recipe = inside(where, [&] { return cube_recipe_named(stored_text(file, "recipe")); });
  recipe.games = stored_number<std::uint64_t>(file, "planned_games", where);
  CubeTrainer trainer(recipe, std::move(evaluator),
                      stored_number<std::uint64_t>(file, "seed", where), threads);
  trainer.games_ = stored_number<std::uint64_t>(file, "games", where);
  require_games(trainer.games_, recipe.games, where);
  const auto take = [&](const std::string& name, std::vector<float>& values) {
    const auto found = file.tensors.find(name);
    if (found == file.tensors.end() || found->second.values.size() != values.size()) {
      throw InputError("tensor '" + name + "' is missing or of another size", where,
                       std::to_string(values.size()) + " numbers");
    }
    values = found->second.values;
  };
  for (std::size_t phase = 0; phase < trainer.squares_.size(); ++phase) {
    for (std::size_t owner = 0; owner < 3; ++owner) {
      CubeSquares::System& system = trainer.squares_[phase].of_owner[owner];
      take(system_name(phase, owner, "products"), system.products);
      take(system_name(phase, owner, "targets"), system.targets);
    }
    take(inputs_name(phase), trainer.squares_[phase].inputs);
  }
  if (trainer.games_ > 0) trainer.solve();
  return trainer;
}

}  // namespace sixfold
