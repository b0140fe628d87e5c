// How the state of a rollout is written and read: a line that names the form, the plan's identity,
// the state, and a hash of all that.
#include <algorithm>
#include <bit>

#include "base/bytes.h"
#include "base/hash.h"
#include "rollout/state.h"

namespace sixfold {
namespace {

/// Changes with the form or with the meaning of anything in it.
constexpr std::string_view kVersion = "sixfold rollout state 4\n";

template <typename Means>
void add_series(ByteWriter& bytes, const BlockSeries<Means>& series) {
  bytes.add_list(series.groups());
  bytes.add(series.width());
  bytes.add(series.unfinished());
  bytes.add(series.blocks() % series.width());
}

template <typename Means>
BlockSeries<Means> take_series(ByteReader& bytes) {
  auto groups = bytes.take_list<Means>();
  const auto width = bytes.take<std::uint64_t>();
  const auto sum = bytes.take<Means>();
  const auto waiting = bytes.take<std::uint64_t>();
  if (groups.size() > kMostGroups || !std::has_single_bit(width) || waiting >= width) {
    bytes.fail("holds no series of blocks");
  }
  return BlockSeries<Means>(std::move(groups), width, sum, waiting);
}

}  // namespace

std::string RolloutState::save() const {
  ByteWriter bytes;
  bytes.add(plan_.identity());
  bytes.add_list(std::vector<std::uint64_t>(going_on_.begin(), going_on_.end()));
  bytes.add(target_);
  bytes.add(finished_);
  bytes.add(rounds_);
  bytes.add(beyond_);
  bytes.add(widest_.has_value());
  bytes.add(widest_.value_or(0.0));
  bytes.add(blocks_done_);
  bytes.add(blocks_planned_);
  for (const PlayBlocks& start : starts_) {
    bytes.add(start.told_from.has_value());
    bytes.add(start.told_from.value_or(0));
    add_series(bytes, start.series);
    if (plan_.cube) add_series(bytes, start.with_cube);
    add_series(bytes, start.by_roll);
  }
  bytes.add(std::uint64_t{waiting_.size()});
  for (const auto& [place, played] : waiting_) {
    bytes.add(std::uint64_t{played.start});
    bytes.add(played.block);
    bytes.add(played.means);
    if (played.with_cube) bytes.add(*played.with_cube);
    bytes.add(played.worths);
  }
  std::string saved = std::string(kVersion) + bytes.bytes();
  ByteWriter hash;
  hash.add(hash_of_bytes(saved));
  return saved + hash.bytes();
}

RolloutState RolloutState::load(RolloutPlan plan, std::string_view saved,
                                const std::string& where) {
  constexpr std::size_t kHash = sizeof(std::uint64_t);
  if (!saved.starts_with(kVersion) || saved.size() < kVersion.size() + kHash) {
    ByteReader(saved, where).fail("is not the state of a rollout, or of another version");
  }
  const std::string_view hashed = saved.substr(0, saved.size() - kHash);
  if (ByteReader(saved.substr(hashed.size()), where).take<std::uint64_t>() !=
      hash_of_bytes(hashed)) {
    ByteReader(saved, where).fail("is damaged");
  }
  ByteReader bytes(hashed.substr(kVersion.size()), where);
  RolloutState state(std::move(plan));
  if (bytes.take<std::uint64_t>() != state.plan_.identity()) {
    bytes.fail("is of another rollout: its plays, score, settings or net are not the same");
  }
  const auto going_on = bytes.take_list<std::uint64_t>();
  state.going_on_.assign(going_on.begin(), going_on.end());
  state.target_ = bytes.take<std::uint64_t>();
  state.finished_ = bytes.take<std::uint8_t>() != 0;
  state.rounds_ = bytes.take<std::uint64_t>();
  state.beyond_ = bytes.take<std::uint64_t>();
  if (state.beyond_ > kMostBeyond) bytes.fail("went on more often than can be");
  const bool has_widest = bytes.take<std::uint8_t>() != 0;
  const auto widest = bytes.take<double>();
  if (has_widest) state.widest_ = widest;
  state.blocks_done_ = bytes.take<std::uint64_t>();
  state.blocks_planned_ = bytes.take<std::uint64_t>();
  for (PlayBlocks& start : state.starts_) {
    const bool is_aside = bytes.take<std::uint8_t>() != 0;
    const auto told_from = bytes.take<std::uint64_t>();
    if (is_aside) start.told_from = told_from;
    start.series = take_series<BlockMeans>(bytes);
    if (state.plan_.cube) start.with_cube = take_series<CubeMeans>(bytes);
    start.by_roll = take_series<RollMeans>(bytes);
  }
  const bool are_starts =
      !going_on.empty() && std::all_of(going_on.begin(), going_on.end(), [&](std::uint64_t start) {
        return start < state.starts_.size() &&
               state.starts_[start].series.blocks() == state.blocks();
      });
  if (!are_starts) bytes.fail("names plays that are not there");
  state.blocks_at_look_ = state.blocks();
  const auto waiting = bytes.take<std::uint64_t>();
  for (std::uint64_t i = 0; i < waiting; ++i) {
    PlayedBlock played;
    played.start = bytes.take<std::uint64_t>();
    played.block = bytes.take<std::uint64_t>();
    played.means = bytes.take<BlockMeans>();
    if (state.plan_.cube) played.with_cube = bytes.take<CubeMeans>();
    played.worths = bytes.take<std::array<double, kBlockTrials>>();
    if (!state.is_wanted(played)) bytes.fail("holds a block that nobody asked for");
    state.waiting_.emplace(Place{played.block, played.start}, played);
  }
  if (!bytes.at_end()) bytes.fail("goes on behind its end");
  return state;
}

}  // namespace sixfold
