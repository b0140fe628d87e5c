/// Training the luck networks that belong to an evaluator: play, label, learn, repeat.
///
/// An iteration plays games of the evaluator against itself, takes about a quarter of their
/// positions, labels each with the true luck of its 21 rolls (the evaluator's values after the best
/// plays for money) and learns them once in shuffled batches. Labels do not depend on what has been
/// learnt. A run that was saved and resumed, on any number of threads, ends in the same weights to
/// the bit.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/workers.h"
#include "evaluator/evaluator.h"
#include "evaluator/network_file.h"
#include "train/luck_learner.h"

namespace sixfold {

struct LuckRecipe {
  std::string name;
  std::uint64_t games;
  int contact_units;
  int contact_hidden;
  int race_units;
  int race_hidden;
  float first_rate;  ///< Learning rate at the start; falls along half a cosine.
  float last_rate;
};

/// `quick` or `standard`; throws InputError for another name.
[[nodiscard]] LuckRecipe luck_recipe_named(std::string_view name);

struct LuckIterationReport {
  std::uint64_t games = 0;      ///< Played since the start of the run.
  std::uint64_t positions = 0;  ///< Learnt in this iteration.
  // Shares of luck's variance that were explained before the iteration's positions were learnt.
  double contact_explained = 0.0;
  double race_explained = 0.0;
};

/// Not thread-safe from outside; uses `threads` threads inside.
class LuckTrainer {
 public:
  /// A new run for an evaluator's networks. Throws InputError for networks that can't be used.
  LuckTrainer(LuckRecipe recipe, NetworkFile evaluator, std::uint64_t seed, int threads);
  /// The run that a checkpoint holds. Throws InputError for a file that is not one, or one for
  /// another evaluator.
  [[nodiscard]] static LuckTrainer resumed(const std::filesystem::path& checkpoint,
                                           NetworkFile evaluator, int threads);

  [[nodiscard]] bool finished() const noexcept { return games_ >= recipe_.games; }
  /// REQUIRES: not finished.
  LuckIterationReport run_iteration();

  /// Written atomically; throws InputError when that is not possible.
  void save_checkpoint(const std::filesystem::path& path) const;
  /// The evaluator with its averaged luck networks.
  [[nodiscard]] NetworkFile result() const;

  [[nodiscard]] const LuckRecipe& recipe() const noexcept { return recipe_; }
  [[nodiscard]] std::uint64_t games() const noexcept { return games_; }
  [[nodiscard]] std::uint64_t seed() const noexcept { return seed_; }

 private:
  LuckTrainer(LuckRecipe recipe, NetworkFile evaluator, std::uint64_t seed, int threads,
              LuckLearnerState contact, LuckLearnerState race);

  [[nodiscard]] std::vector<std::vector<LuckSample>> label(std::uint64_t games);
  LuckSquares learn(LuckLearner& learner, const std::vector<const LuckSample*>& samples);

  LuckRecipe recipe_;
  NetworkFile file_;
  std::uint64_t seed_;
  Workers workers_;
  std::unique_ptr<NetworkEvaluator> evaluator_;
  std::uint64_t games_ = 0;
  LuckLearner contact_;
  LuckLearner race_;
};

/// Positions of one game of an evaluator against itself, the start among them, each taken with a
/// chance of a quarter, with the luck of their rolls. Game number `game` of `seed`.
[[nodiscard]] std::vector<LuckSample> labelled_game(const Evaluator& evaluator, int checkers,
                                                    std::uint64_t seed, std::uint64_t game);

}  // namespace sixfold
