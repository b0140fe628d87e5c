#include "report/text/bars.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/format.h"
#include "report/text/layout.h"

namespace sixfold {
namespace {

/// Losses are shades, darker for the dearer ones, and wins are steps, higher for the dearer ones.
constexpr std::array<const char*, kOutcomeCount> kBlocks{"▓", "▒", "░", "▂", "▅", "█"};

/// A block is two games in a hundred, or four where names are long.
constexpr int kLong = 50;
constexpr int kShort = 25;
/// Rank, name and gap before a bar stand where the report's other tables have theirs.
constexpr std::size_t kMargin = 4;
constexpr std::size_t kUsualName = 8;
constexpr std::size_t kGap = 2;

}  // namespace

std::array<int, kOutcomeCount> blocks_of(const OutcomeDistribution& outcomes, int length) {
  std::array<double, kOutcomeCount> left{};
  for (std::size_t o = 0; o < left.size(); ++o) left[o] = std::max(0.0, outcomes[o]);
  const double all = std::accumulate(left.begin(), left.end(), 0.0);
  std::array<int, kOutcomeCount> blocks{};
  for (std::size_t o = 0; o < left.size(); ++o) {
    left[o] *= length / all;
    blocks[o] = static_cast<int>(std::floor(left[o]));
    left[o] -= blocks[o];
  }
  for (int given = std::accumulate(blocks.begin(), blocks.end(), 0); given < length; ++given) {
    const auto most = std::max_element(left.begin(), left.end());
    ++blocks[static_cast<std::size_t>(most - left.begin())];
    *most = -1.0;
  }
  return blocks;
}

std::string outcome_bar(const OutcomeDistribution& outcomes, int length) {
  const std::array<int, kOutcomeCount> blocks = blocks_of(outcomes, length);
  std::string text;
  for (std::size_t o = 0; o < blocks.size(); ++o) {
    for (int i = 0; i < blocks[o]; ++i) text += kBlocks[o];
  }
  return text;
}

std::string outcome_bars(const std::vector<BarRow>& rows) {
  std::size_t width = kUsualName;
  for (const BarRow& row : rows) width = std::max(width, row.name.size());
  const int length = kMargin + width + kGap + kLong <= kColumns ? kLong : kShort;
  std::string text = format("How the games end, a block for every {} in 100\n", 100 / length);
  for (const BarRow& row : rows) {
    text += format("{:2}  ", row.rank + 1) + padded(row.name, width + kGap) +
            outcome_bar(row.outcomes, length) + "\n";
  }
  return text +
         format("lost: {} backgammon {} gammon {} single   ", kBlocks[0], kBlocks[1], kBlocks[2]) +
         format("won: {} single {} gammon {} backgammon\n", kBlocks[3], kBlocks[4], kBlocks[5]);
}

}  // namespace sixfold
