/// Self-play TD learning from random weights: play, look back, learn, repeat.
///
/// An iteration plays games with the current weights, evaluates all their positions in float, takes
/// TD(lambda) targets and learns them in shuffled batches; contact positions and races go to
/// networks of their own. Targets come from float outputs: the small bias of quantised ones would
/// accumulate through bootstrapping. The state between iterations is all there is, so a run that
/// was saved and resumed, on any number of threads, ends in the same weights to the bit.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "evaluator/evaluator.h"
#include "evaluator/network_file.h"
#include "exact/workers.h"
#include "train/learner.h"
#include "train/learning_curve.h"
#include "train/self_play.h"

namespace sixfold {

struct Recipe {
  std::string name;
  std::uint64_t games;
  int contact_hidden;  ///< A multiple of kHiddenStep, at most kMaxHidden.
  int race_hidden;
  float first_rate;  ///< Learning rate at the start; falls along half a cosine.
  float last_rate;
  float lambda;
};

/// `quick`, `standard` or `full`; throws InputError for another name.
[[nodiscard]] Recipe recipe_named(std::string_view name);

/// Points a game of the current average against a snapshot frozen earlier in the run.
struct Strength {
  std::uint64_t games = 0;           ///< Games learnt by the current average.
  std::uint64_t snapshot_games = 0;  ///< Games learnt by the snapshot.
  double points_per_game = 0.0;
  double standard_error = 0.0;
};

struct IterationReport {
  std::uint64_t games = 0;  ///< Played since the start of the run.
  double loss = 0.0;        ///< Mean over the iteration's positions, in nats.
  double plies_per_game = 0.0;
  double gammon_rate = 0.0;            ///< Games that ended in a gammon or backgammon.
  double predicted_gammon_rate = 0.0;  ///< The same as predicted at the games' starts.
  std::optional<Strength> strength;    ///< When it was measured in this iteration.
};

/// Not thread-safe from outside; uses `threads` threads inside.
class Trainer {
 public:
  /// A new run, whose games begin at `starts` in turn, or all at the usual start when there are
  /// none. The luck of rolls is taken out of targets as far as `luck` explains it. Throws
  /// InputError for a number of checkers without a start position, and for luck networks that no
  /// integers hold. REQUIRES: starts are unfinished positions of that number of checkers.
  Trainer(Recipe recipe, std::uint64_t seed, int checkers, int threads,
          std::vector<Position> starts = {}, std::optional<LuckPair> luck = {});
  /// The run that a checkpoint holds. Throws InputError for a file that is not one.
  [[nodiscard]] static Trainer resumed(const std::filesystem::path& checkpoint, int threads);

  [[nodiscard]] bool finished() const noexcept { return games_ >= recipe_.games; }
  /// REQUIRES: not finished.
  IterationReport run_iteration();

  /// Written atomically; throws InputError when that is not possible.
  void save_checkpoint(const std::filesystem::path& path) const;
  /// The averaged networks, their units paired (train/unit_order.h), with their card.
  [[nodiscard]] NetworkFile result() const;

  /// About a hundred points of the run so far, and all at which strength was measured; each is the
  /// mean over the games since the one before.
  [[nodiscard]] const std::vector<CurvePoint>& curve() const noexcept { return curve_; }
  [[nodiscard]] const Recipe& recipe() const noexcept { return recipe_; }
  [[nodiscard]] std::uint64_t games() const noexcept { return games_; }
  [[nodiscard]] std::uint64_t seed() const noexcept { return seed_; }
  [[nodiscard]] int checkers() const noexcept { return checkers_; }
  [[nodiscard]] const std::vector<Position>& starts() const noexcept { return starts_; }
  [[nodiscard]] const std::optional<LuckPair>& luck() const noexcept { return luck_; }

 private:
  Trainer(Recipe recipe, std::uint64_t seed, int checkers, int threads, LearnerState contact,
          LearnerState race);

  [[nodiscard]] const Position& start_of_game(std::uint64_t game) const noexcept {
    return starts_.empty() ? usual_start_ : starts_[game % starts_.size()];
  }
  [[nodiscard]] NetworkPair current() const;
  [[nodiscard]] NetworkPair average() const;
  void take_out_luck_of(std::optional<LuckPair> luck);
  [[nodiscard]] std::vector<GameRecord> play(std::uint64_t games);
  [[nodiscard]] std::vector<std::vector<TargetOutcomes>> luck_of(
      const std::vector<GameRecord>& games);
  double learn(Learner& learner, std::vector<Sample>& samples, std::uint64_t stream);
  std::optional<Strength> measure_strength();
  void add_to_curve(const IterationReport& report, std::uint64_t count);

  Recipe recipe_;
  std::uint64_t seed_;
  int checkers_;
  int threads_;
  Workers workers_;
  std::uint64_t games_ = 0;
  std::uint64_t iterations_ = 0;
  Learner contact_;
  Learner race_;
  std::optional<NetworkPair> snapshot_;
  std::uint64_t snapshot_games_ = 0;
  std::vector<CurvePoint> curve_;
  CurvePoint next_point_;
  Position usual_start_;
  std::vector<Position> starts_;
  std::optional<LuckPair> luck_;
  std::unique_ptr<NetworkLuck> luck_source_;  ///< Of luck_.
};

}  // namespace sixfold
