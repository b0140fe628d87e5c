#include "study/comparisons.h"

#include <algorithm>

namespace sixfold {
namespace {

void add_new(std::vector<PlayKey>& plays, PlayKey play) {
  if (std::find(plays.begin(), plays.end(), play) == plays.end()) plays.push_back(play);
}

}  // namespace

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

std::vector<std::size_t> cells_of(const Lesson& lesson, Roll roll) {
  std::vector<std::size_t> numbers;
  for (std::size_t c = 0; c < lesson.cells.size(); ++c) {
    if (*lesson.cells[c].decision.roll == roll) numbers.push_back(c);
  }
  return numbers;
}

std::optional<std::size_t> rank_of(const RolledDecision& rolled, PlayKey play) {
  const std::vector<RolledPlay>& plays = rolled.result.plays;
  const auto found = std::find_if(plays.begin(), plays.end(),
                                  [&](const RolledPlay& each) { return each.play == play; });
  if (found == plays.end()) return std::nullopt;
  return static_cast<std::size_t>(found - plays.begin());
}

std::vector<std::size_t> open_ranks(const RolledDecision& rolled) {
  std::vector<std::size_t> ranks;
  for (std::size_t i = 1; i < rolled.result.plays.size(); ++i) {
    if (is_open(rolled.result.plays[i])) ranks.push_back(i);
  }
  return ranks;
}

std::optional<std::size_t> closest_rival(const RolledDecision& rolled) {
  const std::vector<std::size_t> open = open_ranks(rolled);
  return open.empty() ? runner_up(rolled) : open.front();
}

std::size_t best_somewhere(const Lesson& lesson, Roll roll) {
  std::vector<PlayKey> plays;
  for (const std::size_t c : cells_of(lesson, roll)) {
    add_new(plays, lesson.cells[c].result.plays.front().play);
  }
  return plays.size();
}

std::vector<PlayKey> plays_side_by_side(const Lesson& lesson, Roll roll,
                                        std::optional<std::size_t> most) {
  constexpr std::size_t kMost = 6;
  const std::vector<std::size_t> cells = cells_of(lesson, roll);
  const RollRemarks* const remarks = remarks_on(lesson.plan, roll);
  std::vector<PlayKey> plays;
  const auto add_rank = [&](std::size_t cell, std::size_t rank) {
    if (plays.size() < kMost) add_new(plays, lesson.cells[cell].result.plays[rank].play);
  };
  for (const std::size_t c : cells) add_new(plays, lesson.cells[c].result.plays.front().play);
  if (remarks != nullptr) {
    for (const PlayKey play : remarks->plays) add_new(plays, play);
  }
  for (const std::size_t c : cells) {
    if (const auto second = runner_up(lesson.cells[c])) add_rank(c, *second);
  }
  for (const std::size_t c : cells) {
    for (const std::size_t rank : open_ranks(lesson.cells[c])) add_rank(c, rank);
  }
  if (most && plays.size() > *most) plays.resize(*most);
  return plays;
}

}  // namespace sixfold
