/// Columns that tables of plays for a terminal have in common.
#pragma once

#include <algorithm>
#include <string>

#include "base/format.h"
#include "report/text/layout.h"
#include "rules/notation.h"
#include "rules/outcome_distribution.h"
#include "study/decision.h"

namespace sixfold {

inline constexpr std::size_t kRankWidth = 4;

/// Columns for the longest of the plays, as far as the `others` of a line leave room, and 8 at
/// least.
template <typename Plays>
[[nodiscard]] std::size_t play_width(const Decision& decision, const Plays& plays,
                                     std::size_t others) {
  std::size_t width = 8;
  for (const auto& play : plays) {
    width = std::max(width, play_text(decision.position, *decision.roll, play.play).size());
  }
  return std::min(width, kColumns - kRankWidth - others);
}

/// Rank, counted from 0, and play; a play too long for its column has a line of its own.
[[nodiscard]] inline std::string play_head(std::size_t rank, const std::string& name,
                                           std::size_t width) {
  return format("{:2}  ", rank + 1) + (name.size() <= width
                                           ? padded(name, width)
                                           : name + "\n" + padded("", kRankWidth + width));
}

/// The two lines above the six outcomes, each in a column of `width`; what stands before them in
/// the second line is `before`.
[[nodiscard]] inline std::string outcome_heading(const std::string& before, std::size_t width,
                                                 const std::string& after = "") {
  std::string text = padded("", columns_of(before)) +
                     format("{:>{}}{:>{}}\n", "lost", 2 * width, "won", 3 * width) + before;
  for (const char* name : {"bg", "g", "single", "single", "g", "bg"}) {
    text += format("{:>{}}", name, width);
  }
  return text + after + "\n";
}

inline constexpr std::size_t kOutcomeWidth = 8;

/// Six columns of eight, under outcome_heading().
[[nodiscard]] inline std::string outcome_cells(const OutcomeDistribution& outcomes) {
  std::string text;
  for (const double probability : outcomes.probability) {
    text += format(" {:6.2f}%", 100.0 * probability);
  }
  return text;
}

/// A share that rounds to nothing and may yet be something.
[[nodiscard]] inline bool is_unseen(const Estimate& share) noexcept {
  return std::abs(share.mean) < 5e-5 && share.half_width >= 5e-5;
}

/// How well such a share is known, in a column of eight; of an unseen one, how rare it is.
[[nodiscard]] inline std::string share_error(const Estimate& share) {
  return format("  {}{:5.2f}", is_unseen(share) ? "<" : "±", 100.0 * share.half_width);
}

inline constexpr const char* kOutcomeNote =
    "g gammon, bg backgammon: six ways for a game to end that exclude one another, as shares of "
    "all games.";

}  // namespace sixfold
