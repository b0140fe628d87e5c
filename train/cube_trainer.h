/// Training the heads that say how alive the cube is (evaluator/cube_head.h), on top of a finished
/// evaluator: play, look back, solve, repeat.
///
/// An iteration plays games with the heads found so far (train/cube_play.h) and solves for new ones
/// by least squares: equities are linear in lives, lives in weights, so that nothing has to be
/// stepped towards. With the cube in the middle a side's share hardly matters where it is far from
/// its point at money, but does at other scores: there it is held to its share of a cube of its
/// own. Later games count for more, since their targets come from better heads. A run that was
/// saved and resumed, on any number of threads, ends in the same weights to the bit. Shapes: H
/// hidden units, K shapes of outcomes, L lives; N = H + K weights a life.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/workers.h"
#include "evaluator/evaluator.h"
#include "evaluator/network_file.h"
#include "train/cube_play.h"

namespace sixfold {

struct CubeRecipe {
  std::string name;
  std::uint64_t games;
};

/// `quick` or `standard`; throws InputError for another name.
[[nodiscard]] CubeRecipe cube_recipe_named(std::string_view name);

struct CubeIterationReport {
  std::uint64_t games = 0;      ///< Played since the start of the run.
  std::uint64_t positions = 0;  ///< Learnt in this iteration.
  /// How far targets were from what the heads said before, root mean square, cube in the middle,
  /// over positions between two passes.
  double contact_error = 0.0;
  double race_error = 0.0;
};

/// The least squares of one phase, for each place of the cube: sums over games, floats so that
/// files hold them whole.
struct CubeSquares {
  struct System {
    std::vector<float> products;  ///< n x n, of inputs; n is N, 2N with the cube in the middle.
    std::vector<float> targets;   ///< n, of inputs and targets.
    friend bool operator==(const System&, const System&) = default;
  };
  std::array<System, 3> of_owner;  ///< In the order of CubeOwner.
  std::vector<float> inputs;       ///< N x N, products of inputs alone.
  friend bool operator==(const CubeSquares&, const CubeSquares&) = default;
};

/// Not thread-safe from outside; uses `threads` threads inside.
class CubeTrainer {
 public:
  /// A new run for an evaluator's networks. Throws InputError for networks that can't be used.
  CubeTrainer(CubeRecipe recipe, NetworkFile evaluator, std::uint64_t seed, int threads);
  /// The run that a checkpoint holds. Throws InputError for a file that is not one, or one for
  /// another evaluator.
  [[nodiscard]] static CubeTrainer resumed(const std::filesystem::path& checkpoint,
                                           NetworkFile evaluator, int threads);

  [[nodiscard]] bool finished() const noexcept { return games_ >= recipe_.games; }
  /// REQUIRES: not finished.
  CubeIterationReport run_iteration();

  /// Written atomically; throws InputError when that is not possible.
  void save_checkpoint(const std::filesystem::path& path) const;
  /// The evaluator with its heads.
  [[nodiscard]] NetworkFile result() const;

  [[nodiscard]] const CubeRecipe& recipe() const noexcept { return recipe_; }
  [[nodiscard]] std::uint64_t games() const noexcept { return games_; }
  [[nodiscard]] std::uint64_t seed() const noexcept { return seed_; }

 private:
  /// A sample with the inputs of its phase's head.
  struct Case {
    CubeSample sample;
    std::vector<float> inputs;  ///< N
  };

  [[nodiscard]] const Network& network(std::size_t phase) const noexcept {
    return file_.networks.stored_for(static_cast<Phase>(phase));
  }
  [[nodiscard]] std::vector<float> inputs_of(const Position& position, std::size_t phase) const;
  [[nodiscard]] std::vector<std::vector<Case>> play(std::uint64_t games);
  void add(const std::vector<const Case*>& cases, std::size_t phase, std::uint64_t games);
  [[nodiscard]] std::size_t inputs(std::size_t phase) const noexcept {
    return static_cast<std::size_t>(network(phase).hidden) + kOutcomeShapes;
  }
  void solve();

  CubeRecipe recipe_;
  NetworkFile file_;  ///< With the heads found so far; none at first.
  std::uint64_t seed_;
  Workers workers_;
  std::shared_ptr<const TwoSidedTable> two_sided_;
  std::vector<std::vector<float>> rows_;  ///< First layers in floats, R x H, by phase.
  std::vector<CubeSquares> squares_;      ///< By phase.
  std::uint64_t games_ = 0;
};

}  // namespace sixfold
