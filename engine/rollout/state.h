/// A rollout on its way: which trials are to be played now, what has been played, what is known.
///
/// A state machine without threads, clocks or files. Whoever plays trials asks next() for them and
/// hands the means of whole blocks to absorb(), in whatever order they arrive; when nothing is left
/// to play, or at any time before, result() says what is known. What happens depends on the plan
/// and the trials alone: not on who plays them, in which order they come back, or how often the
/// state was saved and loaded on the way. With a half-width it looks at whole rounds only: every
/// play gets its trials; then those that are not set aside (rollout/estimates.h) go on together, by
/// 5 to 50% of what they have, as far as the widest cost seems to ask for. Not thread-safe.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "rollout/estimates.h"
#include "rollout/plan.h"
#include "rollout/rolled.h"

namespace sixfold {

/// Blocks number first, ..., first + count - 1 of one of the plan's starts.
struct BlockRange {
  std::size_t start = 0;
  std::uint64_t first = 0;
  std::uint64_t count = 0;
  friend bool operator==(const BlockRange&, const BlockRange&) = default;
};

/// A block of trials that has been played.
struct PlayedBlock {
  std::size_t start = 0;
  std::uint64_t block = 0;
  BlockMeans means;
  std::optional<CubeMeans> with_cube{};  ///< Where the plan has a cube.
  /// What each trial comes to, as an equity: with the cube where there is one.
  std::array<double, kBlockTrials> worths{};
};

/// How often a rollout may go on once more.
inline constexpr std::uint64_t kMostBeyond = 8;

class RolloutState {
 public:
  /// REQUIRES: the plan has a start.
  explicit RolloutState(RolloutPlan plan);

  [[nodiscard]] const RolloutPlan& plan() const noexcept { return plan_; }
  [[nodiscard]] bool is_finished() const noexcept { return finished_; }

  /// The blocks of the present round that have not been absorbed, no more at a time than fit into
  /// memory; empty when finished.
  [[nodiscard]] std::vector<BlockRange> next() const;
  /// Takes a block in; one that next() does not ask for, having come before, changes nothing. A
  /// block counts when it is there for all plays that go on, and so are those before it.
  /// REQUIRES: with_cube is there if, and only if, the plan has a cube.
  void absorb(const PlayedBlock& played);

  /// Once more than was asked for: half the half-width, and four times the limit. What has been set
  /// aside stays so. REQUIRES: it is finished, and the plan wants a half-width.
  void go_beyond();

  /// How often it went on so.
  [[nodiscard]] std::uint64_t beyond() const noexcept { return beyond_; }

  /// Rounds that have ended.
  [[nodiscard]] std::uint64_t rounds() const noexcept { return rounds_; }
  /// Starts that go on, and the trials that each of them has.
  [[nodiscard]] std::size_t going_on() const noexcept { return going_on_.size(); }
  [[nodiscard]] std::uint64_t trials_each() const noexcept { return blocks() * kBlockTrials; }
  /// Trials that have been absorbed, and those planned up to the end of the present round.
  [[nodiscard]] std::uint64_t trials_done() const noexcept { return blocks_done_ * kBlockTrials; }
  [[nodiscard]] std::uint64_t trials_planned() const noexcept {
    return blocks_planned_ * kBlockTrials;
  }
  /// Trials that there are likely to be in all: the planned ones, and those that the wanted
  /// half-width seems to ask for besides.
  [[nodiscard]] std::uint64_t trials_expected() const noexcept;
  /// The largest half-width of what the plays that go on cost; nothing before the first round's
  /// end.
  [[nodiscard]] std::optional<double> widest() const noexcept { return widest_; }

  /// Whether every start has the fewest trials that errors are taken from.
  [[nodiscard]] bool has_result() const noexcept;
  /// What is known of the plan's plays, best first; no plays unless has_result().
  [[nodiscard]] RolloutResult result() const;
  /// The same of a position. REQUIRES: has_result(); the plan is of plan_position().
  [[nodiscard]] RolledPlay rolled_position() const;
  /// The same of a doubling decision. REQUIRES: has_result(); the plan is of plan_double().
  [[nodiscard]] RolledDouble rolled_double() const;

  /// Everything but the plan, as bytes with a version and a hash.
  [[nodiscard]] std::string save() const;
  /// Goes on where save() was called. Throws InputError for bytes that are damaged, of another
  /// version or of another plan; `where` names them.
  [[nodiscard]] static RolloutState load(RolloutPlan plan, std::string_view bytes,
                                         const std::string& where);

 private:
  /// Blocks are taken in by number, then by start.
  using Place = std::pair<std::uint64_t, std::size_t>;

  /// Blocks that all starts that go on have.
  [[nodiscard]] std::uint64_t blocks() const noexcept {
    return starts_[going_on_.front()].series.blocks();
  }
  /// The limit for plays that go on, and the half-width that ends it.
  [[nodiscard]] std::uint64_t most_blocks() const noexcept;
  [[nodiscard]] double wanted() const noexcept;
  [[nodiscard]] EstimateRules rules() const noexcept;
  [[nodiscard]] bool is_wanted(const PlayedBlock& played) const noexcept;
  void extend_to(std::uint64_t target);
  void extend();
  void end_round();

  RolloutPlan plan_;
  std::vector<PlayBlocks> starts_;
  std::vector<std::size_t> going_on_;  ///< Starts with trials to come, all with as many blocks.
  std::uint64_t target_ = 0;           ///< Blocks that they have at the end of the round.
  bool finished_ = false;
  std::uint64_t rounds_ = 0;
  std::uint64_t beyond_ = 0;  ///< How often it went on once more.
  std::optional<double> widest_;
  std::uint64_t blocks_at_look_ = 0;  ///< That it is of; not saved, since it foretells only.
  std::uint64_t blocks_done_ = 0;
  std::uint64_t blocks_planned_ = 0;
  std::map<Place, PlayedBlock> waiting_;  ///< For blocks before them.
};

}  // namespace sixfold
