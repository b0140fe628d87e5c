/// What an Engine owns, for the project's own programs: the parts that studies are made with, and
/// studies of questions that have been read already.
///
/// Belongs to one thread at a time.
#pragma once

#include <atomic>
#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "base/provenance.h"
#include "equity/match_equity.h"
#include "evaluator/network_file.h"
#include "exact/table_cache.h"
#include "rollout/luck.h"
#include "rollout/runner.h"
#include "session/sixfold.h"
#include "study/cube_study.h"
#include "study/decision.h"
#include "study/flip.h"
#include "study/lesson.h"
#include "study/review_depth.h"

namespace sixfold {

/// The position of a question, which names it in one of two ways. Throws InputError.
[[nodiscard]] Position asked_position(const Question& question);

/// The plays of a text such as "24/14; 13/9 13/7", to be rolled out alone; every legal one where it
/// is empty. Throws InputError for plays that are none of the roll's.
[[nodiscard]] WantedPlays wanted_plays(const Decision& decision, const std::string& plays);

/// Makes who plays the trials of a rollout, listening and telling as `control` says. The keeper, if
/// there is one, outlives it.
using RunnerFor =
    std::function<std::unique_ptr<TrialRunner>(RunControl control, StateKeeper* keeper)>;

/// What is read from files, where somebody has it already.
struct CoreFiles {
  std::string net_name;
  NetworkFile net;
  MatchEquityTable match_table;
  std::string opponent_name{};
  std::optional<NetworkFile> opponent{};  ///< The net by which the opponent plays, if another.
};

class Core {
 public:
  /// As Engine's constructor.
  explicit Core(const EngineOptions& options);
  /// The same without files: those of the options don't count.
  Core(CoreFiles files, const EngineOptions& options) : Core(std::move(files), options, {}) {}
  /// As Engine::twin(). Solved games are not shared.
  [[nodiscard]] std::unique_ptr<Core> twin() const;

  [[nodiscard]] const Provenance& provenance() const noexcept { return provenance_; }
  /// A hash of all that trials depend on beside their plan: net, version and tables.
  [[nodiscard]] std::uint64_t identity() const;
  [[nodiscard]] const NetworkFile& file() const noexcept { return file_; }
  [[nodiscard]] const std::optional<NetworkFile>& opponents_file() const noexcept {
    return opponents_file_;
  }
  [[nodiscard]] InstructionSet level() const noexcept { return level_; }
  [[nodiscard]] int threads() const noexcept { return threads_; }
  [[nodiscard]] int race_points() const noexcept { return race_points_; }
  [[nodiscard]] const MatchEquityTable& match_table() const noexcept { return match_table_; }
  [[nodiscard]] const ExactTables& tables() const noexcept { return tables_; }
  /// The net's luck networks; null where it has none.
  [[nodiscard]] const LuckSource* luck() const noexcept { return luck_.get(); }
  /// The same. Throws InputError where it has none.
  [[nodiscard]] const LuckSource& required_luck() const;
  /// How many solved games are kept, those asked for last: kMostSolved at most.
  [[nodiscard]] std::size_t solved_games() const noexcept { return solved_.size(); }
  static constexpr std::size_t kMostSolved = 32;
  /// Of all games but those that are solved.
  [[nodiscard]] const NetworkEvaluator& evaluator() const noexcept { return *evaluators_.own; }
  /// Games of one or two checkers are solved at once, at the decision's score; nobody waits for
  /// that who sets `stop`. A money game of three is taken from the cache when it has been put
  /// there. The evaluator of a solved game is there until kMostSolved others have been asked for.
  [[nodiscard]] const Evaluator& evaluator_for(const Decision& decision,
                                               const std::atomic<bool>* stop = nullptr);
  /// Who plays the trials of all games but those that are solved.
  [[nodiscard]] TrialPlayers players() const;

  /// A question as values. Throws InputError for what is not one.
  [[nodiscard]] Decision decision(const Question& question) const;
  /// "auto", "net", "full" or "none", as Rolling has it. Throws InputError for others, and for luck
  /// networks that the net does not have.
  [[nodiscard]] LuckControl luck_control(const std::string& luck) const;
  /// Throws InputError as luck_control().
  [[nodiscard]] RolloutSettings settings(const Rolling& rolling) const;

  [[nodiscard]] Evaluation evaluate(const Decision& decision);
  [[nodiscard]] CubeStudy study_cube(const Decision& decision);
  /// What evaluate() finds of positions before the dice, without the cube, on all threads.
  /// REQUIRES: all have `checkers` checkers a side, 1 to 15.
  [[nodiscard]] std::vector<OutcomeDistribution> distributions(std::span<const Position> positions,
                                                               int checkers);

  /// By static values; ends early, with the games so far, when `stop` is set.
  [[nodiscard]] MatchReview review(const RecordedMatch& match, const std::atomic<bool>* stop);
  /// A roll ahead; ends early, the rest static, when `stop` is set.
  void look_ahead(MatchReview& review, const std::atomic<bool>* stop);
  /// Rolls out what cost the bound or more; `started` as ReviewRoller has it. Throws InputError
  /// where the opponent has a net of his own: both players are judged.
  void deepen(MatchReview& review, const ReviewDepth& depth, const Watch& watch,
              const std::function<void(std::size_t, std::size_t)>& started = {});

  /// From now on rollouts are played by others than threads of this process.
  void play_by(RunnerFor runner_for) { runner_for_ = std::move(runner_for); }
  [[nodiscard]] std::unique_ptr<TrialRunner> runner(RunControl control,
                                                    StateKeeper* keeper = nullptr) const;

  // Rollouts, by the runners of the above.
  [[nodiscard]] RolledDecision roll_out(const RolloutQuestion& question, const Watch& watch);
  [[nodiscard]] std::optional<CubeStudy> roll_out_cube(const RolloutQuestion& question,
                                                       const Watch& watch);
  [[nodiscard]] std::optional<FlipStudy> flip(const Decision& decision,
                                              const RolloutSettings& settings, const Watch& watch);
  /// `part_started` as make_lesson() has it; it may be empty.
  [[nodiscard]] Lesson lesson(const LessonPlan& plan, const Watch& watch,
                              const std::function<void(const LessonPart&)>& part_started = {});

  // The same by any runner. Games that have to be solved first are given up when `stop` is set.
  [[nodiscard]] RolledDecision roll_out(const RolloutQuestion& question, TrialRunner& runner,
                                        const std::atomic<bool>* stop = nullptr);
  [[nodiscard]] std::optional<CubeStudy> roll_out_cube(const RolloutQuestion& question,
                                                       TrialRunner& runner,
                                                       const std::atomic<bool>* stop = nullptr);
  [[nodiscard]] Lesson lesson(const LessonPlan& plan, TrialRunner& runner,
                              const std::atomic<bool>* stop = nullptr,
                              const std::function<void(const LessonPart&)>& part_started = {});

 private:
  /// Tables are made where there are none.
  Core(CoreFiles files, const EngineOptions& options, std::optional<ExactTables> tables);

  /// Those of both sides; the opponent's is null where he plays by the same.
  struct Evaluators {
    const NetworkEvaluator* own = nullptr;
    const NetworkEvaluator* opponents = nullptr;
  };
  /// Of games with `checkers` a side.
  [[nodiscard]] Evaluators evaluators_at(const Score& score, int checkers,
                                         const std::atomic<bool>* stop);
  [[nodiscard]] Evaluators evaluators_for(const Decision& decision, const std::atomic<bool>* stop);
  [[nodiscard]] Instruments instruments(const Decision& decision, TrialRunner& runner,
                                        const std::atomic<bool>* stop);
  [[nodiscard]] std::shared_ptr<const SolvedGame> solved(int checkers, const Score& score,
                                                         const std::atomic<bool>* stop);
  struct OwnedEvaluators {
    std::unique_ptr<NetworkEvaluator> own;
    std::unique_ptr<NetworkEvaluator> opponents;
    [[nodiscard]] Evaluators all() const noexcept { return {own.get(), opponents.get()}; }
  };
  [[nodiscard]] OwnedEvaluators evaluators_with(const ExactTables& tables) const;

  [[nodiscard]] std::unique_ptr<TrialRunner> watched_runner(const Watch& watch) const;
  [[nodiscard]] ReviewTools review_tools();

  EngineOptions options_;
  RunnerFor runner_for_;
  int threads_;
  InstructionSet level_;
  Provenance provenance_;
  NetworkFile file_;
  std::optional<NetworkFile> opponents_file_;
  int race_points_;
  MatchEquityTable match_table_;
  TableCache cache_;
  ExactTables tables_;
  std::unique_ptr<NetworkLuck> luck_;
  OwnedEvaluators evaluators_;
  /// Of one solved game, by the number of checkers and the worth of the outcomes.
  struct Solved {
    int checkers;
    OutcomeWorth worth;
    OwnedEvaluators evaluators;
  };
  std::vector<Solved> solved_;  ///< Asked for last at the end.
};

}  // namespace sixfold
