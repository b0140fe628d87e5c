#include "rollout/bootstrap.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "rollout/random_stream.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kStream = std::uint64_t{1} << 63;
constexpr int kDraws = 2000;

}  // namespace

std::vector<double> best_probabilities(const std::vector<std::vector<double>>& costs,
                                       std::uint64_t seed) {
  assert(std::none_of(costs.begin(), costs.end(), [](const auto& own) { return own.empty(); }));
  std::size_t most_blocks = 0;
  for (const auto& own : costs) most_blocks = std::max(most_blocks, own.size());
  RandomStream random(seed, kStream);
  std::vector<double> weights(most_blocks);
  std::vector<double> chances(costs.size(), 0.0);
  for (int draw = 0; draw < kDraws; ++draw) {
    for (double& weight : weights) weight = -std::log1p(-random.uniform());
    std::size_t winner = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < costs.size(); ++i) {
      double sum = 0.0;
      double total = 0.0;
      for (std::size_t b = 0; b < costs[i].size(); ++b) {
        sum += weights[b] * costs[i][b];
        total += weights[b];
      }
      if (sum / total < least) {
        least = sum / total;
        winner = i;
      }
    }
    chances[winner] += 1.0 / kDraws;
  }
  return chances;
}

}  // namespace sixfold
