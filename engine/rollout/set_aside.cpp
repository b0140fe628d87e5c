#include "rollout/set_aside.h"

#include <algorithm>
#include <limits>
#include <numeric>

namespace sixfold {
namespace {

/// A play is set aside when zero is this many half-widths below its cost.
constexpr double kContention = 2.0;

PlayBlocks part_of(const PlayBlocks& play, std::uint64_t first, std::uint64_t end) {
  PlayBlocks part = play;
  part.series = play.series.part(first, end);
  part.with_cube = play.with_cube.part(first, end);
  part.by_roll = play.by_roll.part(first, end);
  return part;
}

/// The first of the plays with the highest mean.
std::size_t best_of(const std::vector<PlayBlocks>& plays, const EstimateRules& rules) {
  std::vector<double> means;
  for (const PlayBlocks& play : plays) {
    const std::vector<double> values = equities(play, rules);
    means.push_back(std::accumulate(values.begin(), values.end(), 0.0) /
                    static_cast<double>(values.size()));
  }
  return static_cast<std::size_t>(std::max_element(means.begin(), means.end()) - means.begin());
}

/// What a cost exceeds, one-sided, as often as its interval holds it.
double least_of(const Estimate& cost, const EstimateRules& rules) {
  const double one_sided = block_quantile(cost.blocks, 2.0 * rules.confidence - 1.0);
  const double share = one_sided / block_quantile(cost.blocks, rules.confidence);
  return cost.mean - share * cost.half_width;
}

}  // namespace

PlayBlocks told(const PlayBlocks& play) {
  return play.told_from ? part_of(play, *play.told_from, play.series.blocks()) : play;
}

SideBySide side_by_side(const PlayBlocks& play, const PlayBlocks& best) {
  if (!play.told_from) return {play, best};
  const std::uint64_t width = std::max(play.series.width(), best.series.width());
  const std::uint64_t first = (*play.told_from + width - 1) / width * width;
  const std::uint64_t end = play.series.blocks();
  SideBySide both{part_of(play, first, end), part_of(best, first, end)};
  if (both.best.series.groups().size() < kFewestBlocks) return {told(play), best};
  return both;
}

std::vector<std::size_t> rivals_of(const std::vector<PlayBlocks>& plays, std::size_t best,
                                   const EstimateRules& rules) {
  std::vector<std::size_t> rivals{best};
  for (std::size_t i = 0; i < plays.size(); ++i) {
    if (i == best || plays[i].told_from) continue;
    const Estimate cost = cost_of(plays[i], plays[best], rules);
    if (cost.mean <= cost.half_width) rivals.push_back(i);
  }
  return rivals;
}

double least_behind(const PlayBlocks& play, const std::vector<PlayBlocks>& plays,
                    const std::vector<std::size_t>& rivals, const EstimateRules& rules) {
  double least = std::numeric_limits<double>::infinity();
  for (const std::size_t rival : rivals) {
    const SideBySide both = side_by_side(play, plays[rival]);
    least = std::min(least, least_of(cost_of(both.play, both.best, rules), rules));
  }
  return least;
}

std::vector<std::size_t> set_aside(std::vector<PlayBlocks>& plays,
                                   const std::vector<std::size_t>& among,
                                   const EstimateRules& rules) {
  const BlockSeries<BlockMeans>& series = plays[among.front()].series;
  const std::uint64_t half = series.blocks() / 2 / series.width() * series.width();
  if (rules.keep_all || half < kFewestBlocks * series.width()) return among;
  std::vector<PlayBlocks> judged;
  for (const std::size_t i : among) judged.push_back(part_of(plays[i], 0, half));
  const std::size_t best = best_of(judged, rules);
  std::vector<Estimate> costs;
  double closest = std::numeric_limits<double>::infinity();  // The runner-up's.
  std::vector<std::size_t> rivals;
  for (std::size_t k = 0; k < judged.size(); ++k) {
    costs.push_back(k == best ? Estimate{} : cost_of(judged[k], judged[best], rules));
    if (k != best) closest = std::min(closest, costs[k].mean);
    if (costs[k].mean <= costs[k].half_width) rivals.push_back(among[k]);
  }
  std::vector<std::size_t> still;
  for (std::size_t k = 0; k < judged.size(); ++k) {
    PlayBlocks& play = plays[among[k]];
    const Estimate& cost = costs[k];
    const bool is_behind =
        !play.is_named && cost.mean > kContention * cost.half_width && cost.mean > closest;
    if (is_behind) play.told_from = half;
    if (!is_behind || least_behind(play, plays, rivals, rules) <= 0.0) {
      play.told_from.reset();
      still.push_back(among[k]);
    }
  }
  return still;
}

double widest_cost(const std::vector<PlayBlocks>& plays, const std::vector<std::size_t>& among,
                   const EstimateRules& rules) {
  std::vector<PlayBlocks> those;
  for (const std::size_t i : among) those.push_back(plays[i]);
  const std::size_t best = best_of(those, rules);
  double widest = 0.0;
  for (std::size_t k = 0; k < those.size(); ++k) {
    if (k != best) widest = std::max(widest, cost_of(those[k], those[best], rules).half_width);
  }
  return widest;
}

}  // namespace sixfold
