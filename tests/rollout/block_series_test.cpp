#include "rollout/block_series.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "rollout/dice_plan.h"
#include "rollout/rollout.h"
#include "rollout/small_race.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kMost = kMostGroups;

/// A block whose numbers tell which one it is.
BlockMeans block_number(std::uint64_t number) {
  BlockMeans block;
  block.outcomes[0] = static_cast<double>(number);
  block.luck[1] = -static_cast<double>(number);
  return block;
}

BlockSeries<BlockMeans> series_of(std::uint64_t blocks) {
  BlockSeries<BlockMeans> series;
  for (std::uint64_t i = 0; i < blocks; ++i) series.add(block_number(i));
  return series;
}

/// The mean of the numbers first, ..., first + count - 1.
double mean_number(std::uint64_t first, std::uint64_t count) {
  return static_cast<double>(first) + 0.5 * static_cast<double>(count - 1);
}

}  // namespace

TEST_CASE("A short series keeps every block") {
  const BlockSeries<BlockMeans> series = series_of(kMost);
  CHECK(series.width() == 1);
  CHECK(series.blocks() == kMost);
  REQUIRE(series.groups().size() == kMost);
  for (std::uint64_t i = 0; i < kMost; ++i) {
    CHECK(series.groups()[i].outcomes[0] == static_cast<double>(i));
  }
}

TEST_CASE("A long series holds means of consecutive blocks, no more than the most") {
  const std::uint64_t blocks = GENERATE(kMost + 1, kMost + 2, 2 * kMost, 2 * kMost + 1,
                                        3 * kMost + 1, 9 * kMost + 5, 40 * kMost - 1);
  const BlockSeries<BlockMeans> series = series_of(blocks);
  CAPTURE(blocks, series.width());
  CHECK(series.blocks() == blocks);
  CHECK(series.groups().size() <= kMost);
  CHECK(series.groups().size() >= kMost / 2);
  CHECK(series.groups().size() == blocks / series.width());
  for (std::uint64_t i = 0; i < series.groups().size(); ++i) {
    const double expected = mean_number(i * series.width(), series.width());
    CHECK(series.groups()[i].outcomes[0] == Approx(expected).epsilon(1e-12));
    CHECK(series.groups()[i].luck[1] == Approx(-expected).epsilon(1e-12));
  }
}

TEST_CASE("Groups can be had as wide as another series has them") {
  const BlockSeries<BlockMeans> series = series_of(1000);
  const std::vector<BlockMeans> eights = series.groups_of(8);
  REQUIRE(eights.size() == 125);
  for (std::uint64_t i = 0; i < eights.size(); ++i) {
    CHECK(eights[i].outcomes[0] == mean_number(8 * i, 8));
  }
  CHECK(series.groups_of(1).size() == 1000);
  CHECK(series.groups_of(512).size() == 1);
  CHECK(series.groups_of(1024).empty());
}

TEST_CASE("Numbers of blocks are rounded up to whole groups") {
  CHECK(whole_groups(6) == 6);
  CHECK(whole_groups(kMost) == kMost);
  CHECK(whole_groups(kMost + 1) == kMost + 2);
  CHECK(whole_groups(3 * kMost + 1) == 3 * kMost + 4);
  for (const std::uint64_t blocks : {kMost + 1, 5 * kMost + 3}) {
    const BlockSeries<BlockMeans> series = series_of(whole_groups(blocks));
    CHECK(series.groups().size() * series.width() == series.blocks());
  }
}

TEST_CASE("A rollout of more blocks than are kept has all of its trials in its results") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position);
  const std::uint64_t trials = (2 * kMost + 3) * kBlockTrials;
  RolloutSettings settings = settings_of(trials);
  settings.make_plain();
  const RolloutResult result = roll_out(race, problem, settings);
  for (const RolledPlay& play : result.plays) {
    CHECK(play.trials == (2 * kMost + 4) * kBlockTrials);
    // Errors from groups are those of as many trials (to about 5%).
    const Estimate& win = play.outcomes[static_cast<std::size_t>(Outcome::kWinSingle)];
    const double expected =
        std::sqrt(win.mean * (1.0 - win.mean) / static_cast<double>(play.trials));
    CHECK(win.standard_error == Approx(expected).epsilon(0.06).margin(1e-12));
  }
}

TEST_CASE("A play that was given up early keeps a cost against one with far wider groups") {
  Problem problem = six_plays();
  const SmallRace race(problem.position);
  const RolloutResult all = roll_out(race, problem, settings_of(288));
  // Two that cannot be told apart, being the same, and one that is clearly worse.
  const PlayKey best = all.plays.front().play;
  problem.plays = {best, best, all.plays.back().play};
  RolloutSettings settings = settings_of(36);
  settings.make_plain();
  settings.half_width = 1e-6;
  settings.most_trials = 9 * kMost * kBlockTrials;
  const RolloutResult result = roll_out(race, problem, settings);
  REQUIRE(result.plays.front().trials > 8 * kMost * kBlockTrials);
  const RolledPlay& last = result.plays.back();
  REQUIRE(last.trials < kMost);
  CHECK(last.cost.mean == Approx(result.plays.front().equity.mean - last.equity.mean).margin(1e-9));
  CHECK(last.cost.half_width > 0.0);
  CHECK(last.cost.half_width < 2.0);
}

}  // namespace sixfold
