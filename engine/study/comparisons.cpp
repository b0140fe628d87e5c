#include "study/comparisons.h"

#include <algorithm>

namespace sixfold {

std::optional<std::size_t> runner_up(const RolledDecision& rolled) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  for (std::size_t i = 1; i < plays.size(); ++i) {
    if (!plays[i].at_least) return i;
  }
  return plays.size() > 1 ? std::optional<std::size_t>(1) : std::nullopt;
}

std::vector<std::size_t> compared_ranks(const RolledDecision& cell, const RollRemarks* remarks) {
  const std::vector<RolledPlay>& plays = cell.result.plays;
  std::vector<std::size_t> others;
  for (std::size_t i = 1; remarks != nullptr && i < plays.size(); ++i) {
    const bool is_named = std::find(remarks->plays.begin(), remarks->plays.end(), plays[i].play) !=
                          remarks->plays.end();
    if (is_named) others.push_back(i);
  }
  if (others.empty()) {
    if (const auto second = runner_up(cell)) others.push_back(*second);
  }
  return others;
}

std::vector<Comparison> comparisons(const Lesson& lesson, Roll roll) {
  std::vector<Comparison> all;
  for (std::size_t c = 0; c < lesson.cells.size(); ++c) {
    const RolledDecision& cell = lesson.cells[c];
    if (*cell.decision.roll != roll) continue;
    const PlayKey best = cell.result.plays.front().play;
    for (const std::size_t rank : compared_ranks(cell, remarks_on(lesson.plan, roll))) {
      const PlayKey other = cell.result.plays[rank].play;
      auto found = std::find_if(all.begin(), all.end(), [&](const Comparison& each) {
        return each.best == best && each.other == other;
      });
      if (found == all.end()) found = all.insert(all.end(), {best, other, {}});
      found->at.push_back({c, rank});
    }
  }
  return all;
}

}  // namespace sixfold
