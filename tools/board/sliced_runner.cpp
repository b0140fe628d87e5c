#include "tools/board/sliced_runner.h"

#include <algorithm>
#include <vector>

#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

constexpr double kSliceSeconds = 0.2;

/// So many blocks take a slice's time, as far as the last slice tells; never many more at once.
std::size_t blocks_for(std::size_t played, double seconds) {
  constexpr double kMostGrowth = 4.0;
  const double growth = std::min(kSliceSeconds / std::max(seconds, 1e-6), kMostGrowth);
  return std::max<std::size_t>(1, static_cast<std::size_t>(static_cast<double>(played) * growth));
}

}  // namespace

void SlicedRunner::play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
                        RolloutState& state) {
  const std::vector<BlockPlace> places = in_block_order(ranges);
  const std::size_t count = std::min(slice_, places.size());
  Stopwatch watch;
  for (const PlayedBlock& block : play_blocks(trials, std::span(places).first(count), workers_,
                                              [this] { return stopped(); })) {
    state.absorb(block);
  }
  if (count == slice_) slice_ = blocks_for(count, watch.lap());
}

}  // namespace sixfold::tools
