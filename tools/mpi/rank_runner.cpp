#include "tools/mpi/rank_runner.h"

#include <algorithm>
#include <tuple>

#include "base/bytes.h"
#include "exact/few_checkers.h"

namespace sixfold::tools {
namespace {

/// Blocks at a time: so many that messages cost nothing beside them, and so few that nobody waits
/// long for the last.
constexpr std::size_t kMostBlocks = 64;

bool is_of_few_checkers(const RolloutPlan& plan) {
  return plan.starts.front().trials.position.roller.total() <= SolvedGame::kMostCheckers;
}

}  // namespace

std::size_t RankRunner::share_of(std::size_t left) const {
  const auto members = static_cast<std::size_t>(crew_.size());
  const auto for_all_threads = static_cast<std::size_t>(threads_ - 1) / kBlockTrials + 1;
  const std::size_t share = std::clamp(left / (3 * members), std::size_t{1}, kMostBlocks);
  return std::min(left, std::max(share, for_all_threads));
}

std::vector<PlayedBlock> RankRunner::played_by_crew(const RolloutState& state,
                                                    std::span<const BlockPlace> places) {
  crew_.tell(state.plan());
  RolloutProgress progress = progress_of(state);
  std::vector<PlayedBlock> played;
  int in_hand = 0;
  const auto hand_out = [&](int rank) {
    if (places.empty() || stopped()) return;
    const std::size_t count = share_of(places.size());
    ByteWriter blocks;
    blocks.add_list(
        std::vector(places.begin(), places.begin() + static_cast<std::ptrdiff_t>(count)));
    crew_.send(rank, {MessageKind::kBlocks, blocks.bytes()});
    places = places.subspan(count);
    ++in_hand;
  };
  for (int rank = 0; rank < crew_.size(); ++rank) hand_out(rank);
  while (in_hand > 0) {
    const FromRank from = crew_.wait(control_.stop);
    const auto blocks = ByteReader(from.message.body, "blocks").take_list<PlayedBlock>();
    played.insert(played.end(), blocks.begin(), blocks.end());
    --in_hand;
    hand_out(from.rank);
    progress.trials_done += blocks.size() * kBlockTrials;
    if (control_.progress) control_.progress(progress);
  }
  return played;
}

void RankRunner::play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
                      RolloutState& state) {
  const std::vector<BlockPlace> places = in_block_order(ranges);
  std::vector<PlayedBlock> played;
  if (is_of_few_checkers(state.plan())) {
    Workers workers(threads_);
    played = play_blocks(trials, places, workers, [&] { return stopped(); });
  } else {
    played = played_by_crew(state, places);
  }
  std::sort(played.begin(), played.end(), [](const PlayedBlock& a, const PlayedBlock& b) {
    return std::tie(a.block, a.start) < std::tie(b.block, b.start);
  });
  for (const PlayedBlock& block : played) state.absorb(block);
}

}  // namespace sixfold::tools
