/// Self-play TD learning from random weights: play, look back, learn, repeat.
///
/// An iteration plays games with the current weights, half of them (if the recipe says so) with
/// other plays than the best tried now and then, evaluates all their positions in float, takes
/// TD(lambda) targets and learns them in shuffled batches; contact positions and races go to
/// networks of their own, mutual contact and contact from behind too if the recipe says so. Targets
/// come from float outputs: the small bias of quantised ones would accumulate through
/// bootstrapping. The state between iterations is all there is, so a run that was saved and
/// resumed, on any number of threads, ends in the same weights to the bit.
#pragma once

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/workers.h"
#include "evaluator/evaluator.h"
#include "evaluator/network_file.h"
#include "train/learner.h"
#include "train/learning_curve.h"
#include "train/self_play.h"

namespace sixfold {

struct Recipe {
  std::string name;
  std::uint64_t games;
  int contact_hidden;  ///< A multiple of kHiddenStep, at most kMaxHidden; 0: the parent's.
  int race_hidden;
  float first_rate;  ///< Learning rate at the start; falls along half a cosine.
  float last_rate;
  float lambda;
  double tried;  ///< Exploration's share of turns, in half of the games.
  /// Dice results that are looked at to mend the luck networks' estimates; 0: those are taken.
  int looked_at = 0;
  /// The first so many phases have networks of their own, those of contact all equally wide; where
  /// the parent's are more, as many as there.
  std::size_t phases = kFewestPhases;
};

/// `quick`, `standard` or `full` (the shipped network before it was refined) from random weights,
/// `refine` from those of another network; throws InputError for another name.
[[nodiscard]] Recipe recipe_named(std::string_view name);

/// What a run may have of its own. REQUIRES: starts are unfinished positions of the run's number of
/// checkers.
struct Specialty {
  std::vector<Position> starts{};  ///< Games begin here in turn; empty: at the usual start.
  /// What players choose by. At scores that differ for them the sides take turns at beginning, and
  /// what is learnt is the mean over whose score is whose.
  Score score = money_score();
  std::optional<LuckPair> luck{};  ///< Takes the luck of rolls out of targets.
  std::string parent{};            ///< Identity of the network that it started from, or empty.

  /// `usual` unless there are others.
  [[nodiscard]] const Position& start_of_game(std::uint64_t game,
                                              const Position& usual) const noexcept {
    return starts.empty() ? usual : starts[game % starts.size()];
  }
  /// To the side that begins it.
  [[nodiscard]] OutcomeWorth worth_of_game(std::uint64_t game) const noexcept {
    return game % 2 == 0 ? score.worth : opponents_worth(score.worth);
  }
  friend bool operator==(const Specialty&, const Specialty&) = default;
};

/// Points a game of the current average against a snapshot frozen earlier in the run.
struct Strength {
  std::uint64_t games = 0;           ///< Games learnt by the current average.
  std::uint64_t snapshot_games = 0;  ///< Games learnt by the snapshot.
  double points_per_game = 0.0;
  double standard_error = 0.0;
};

/// Gammon rates and plies are means over the games in which only best plays were made.
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
  /// A new run from random weights. Throws InputError for a number of checkers without a start
  /// position, and for luck networks that no integers hold.
  Trainer(Recipe recipe, std::uint64_t seed, int checkers, int threads, Specialty specialty = {});
  /// A new run from another evaluator's weights, with its checkers and widths; networks for contact
  /// are narrowed where the recipe asks for less, and new ones start as that for all contact
  /// was. Throws InputError for a recipe that asks for wider ones.
  Trainer(Recipe recipe, std::uint64_t seed, const NetworkFile& parent, int threads,
          Specialty specialty = {});
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
  [[nodiscard]] const Specialty& specialty() const noexcept { return specialty_; }

 private:
  Trainer(Recipe recipe, std::uint64_t seed, int checkers, int threads,
          std::vector<LearnerState> states);

  /// Whether other plays than the best are tried in it: twice through all starts with, twice
  /// without, since the scores take turns from game to game.
  [[nodiscard]] bool is_explored(std::uint64_t game) const noexcept {
    return recipe_.tried > 0.0 &&
           game / std::max<std::uint64_t>(1, specialty_.starts.size()) % 4 >= 2;
  }
  [[nodiscard]] Networks of_learners(Network LearnerState::*part) const;
  [[nodiscard]] Networks current() const;
  [[nodiscard]] Networks average() const;
  void specialise(Specialty specialty);
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
  std::vector<Learner> learners_;  ///< In the order of phases.
  std::optional<Networks> snapshot_;
  std::uint64_t snapshot_games_ = 0;
  std::vector<CurvePoint> curve_;
  CurvePoint next_point_;
  Position usual_start_;
  Specialty specialty_;
  std::unique_ptr<NetworkLuck> luck_source_;  ///< Of the specialty's luck networks.
};

}  // namespace sixfold
