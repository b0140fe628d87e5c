#include "train/unit_order.h"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <numeric>
#include <vector>

namespace sixfold {
namespace {

/// Calls visit(p, sums) for each position, with the sums of the H units before their activation.
template <typename Visit>
void for_each_sums(const Network& network, std::span<const Position> positions, Visit visit) {
  const std::size_t units = network.first_bias.size();
  const std::vector<float> rows = baked_rows(network.first, units);
  std::vector<float> sums;
  for (std::size_t p = 0; p < positions.size(); ++p) {
    sums = network.first_bias;
    for (const Row row : active_rows(positions[p])) {
      const float* const values = rows.data() + row * units;
      for (std::size_t u = 0; u < units; ++u) sums[u] += values[u];
    }
    visit(p, sums);
  }
}

/// How often two units are zero at once.
class ZeroCounts {
 public:
  ZeroCounts(const Network& network, std::span<const Position> positions)
      : units_(network.first_bias.size()), counts_(units_ * units_) {
    const std::size_t words = (positions.size() + 63) / 64;
    std::vector<std::uint64_t> zero(units_ * words);  // bit p of a unit's words: it is zero there
    for_each_sums(network, positions, [&](std::size_t p, const std::vector<float>& sums) {
      for (std::size_t u = 0; u < units_; ++u) {
        if (!(sums[u] > 0.0f)) zero[u * words + p / 64] |= std::uint64_t{1} << p % 64;
      }
    });
    for (std::size_t a = 0; a < units_; ++a) {
      for (std::size_t b = a; b < units_; ++b) {
        int count = 0;
        for (std::size_t w = 0; w < words; ++w) {
          count += std::popcount(zero[a * words + w] & zero[b * words + w]);
        }
        counts_[a * units_ + b] = counts_[b * units_ + a] = count;
      }
    }
  }

  [[nodiscard]] std::size_t units() const { return units_; }
  [[nodiscard]] int operator()(std::size_t a, std::size_t b) const {
    return counts_[a * units_ + b];
  }

 private:
  std::size_t units_;
  std::vector<int> counts_;
};

/// Each unit's mate: first the best pairs of all, one after another, then pairs exchange mates as
/// long as both together gain. No optimum, which would take a matching algorithm, but near.
std::vector<std::size_t> mates_of(const ZeroCounts& zeros) {
  const std::size_t units = zeros.units();
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (std::size_t a = 0; a < units; ++a) {
    for (std::size_t b = a + 1; b < units; ++b) pairs.emplace_back(a, b);
  }
  std::stable_sort(pairs.begin(), pairs.end(), [&](const auto& p, const auto& q) {
    return zeros(p.first, p.second) > zeros(q.first, q.second);
  });
  std::vector<std::size_t> mate(units, units);
  for (const auto& [a, b] : pairs) {
    if (mate[a] != units || mate[b] != units) continue;
    mate[a] = b;
    mate[b] = a;
  }
  for (bool changed = true; changed;) {
    changed = false;
    for (std::size_t a = 0; a < units; ++a) {
      for (std::size_t b = 0; b < units; ++b) {
        const std::size_t c = mate[a];
        const std::size_t d = mate[b];
        if (b == a || b == c || zeros(a, b) + zeros(c, d) <= zeros(a, c) + zeros(b, d)) continue;
        mate[a] = b;
        mate[b] = a;
        mate[c] = d;
        mate[d] = c;
        changed = true;
      }
    }
  }
  return mate;
}

/// The network with the listed ones of its units, in that order.
Network with_units(const Network& network, const std::vector<std::size_t>& chosen) {
  Network result = zero_network(static_cast<int>(chosen.size()));
  const std::size_t units = network.first_bias.size();
  for (std::size_t place = 0; place < chosen.size(); ++place) {
    const std::size_t unit = chosen[place];
    result.first_bias[place] = network.first_bias[unit];
    for (std::size_t f = 0; f < kFeatureCount; ++f) {
      result.first[f * chosen.size() + place] = network.first[f * units + unit];
    }
    std::copy_n(network.second_weights.data() + unit * kSecondUnits, kSecondUnits,
                result.second_weights.data() + place * kSecondUnits);
  }
  result.second_bias = network.second_bias;
  result.head_weights = network.head_weights;
  result.head_bias = network.head_bias;
  return result;
}

}  // namespace

Network with_units_paired(const Network& network, std::span<const Position> positions) {
  if (positions.empty()) return network;
  const std::vector<std::size_t> mate = mates_of(ZeroCounts(network, positions));
  std::vector<std::size_t> order;
  for (std::size_t unit = 0; unit < mate.size(); ++unit) {
    if (unit < mate[unit]) order.insert(order.end(), {unit, mate[unit]});
  }
  return with_units(network, order);
}

Network narrowed(const Network& network, int hidden, std::span<const Position> positions) {
  const std::size_t units = network.first_bias.size();
  std::vector<double> means(units);
  std::vector<double> squares(units);
  for_each_sums(network, positions, [&](std::size_t, const std::vector<float>& sums) {
    for (std::size_t u = 0; u < units; ++u) {
      const double clamped = std::clamp(static_cast<double>(sums[u]), 0.0, 1.0);
      const double activation = clamped * clamped;
      means[u] += activation / static_cast<double>(positions.size());
      squares[u] += activation * activation / static_cast<double>(positions.size());
    }
  });
  std::vector<double> influence(units);
  for (std::size_t u = 0; u < units; ++u) {
    const float* const leading_on = network.second_weights.data() + u * kSecondUnits;
    const double weight =
        std::inner_product(leading_on, leading_on + kSecondUnits, leading_on, 0.0);
    influence[u] = (squares[u] - means[u] * means[u]) * weight;
  }
  std::vector<std::size_t> order(units);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return influence[a] > influence[b]; });
  const auto kept = order.begin() + hidden;
  Network result = with_units(network, {order.begin(), kept});
  for (auto left_out = kept; left_out != order.end(); ++left_out) {
    for (std::size_t s = 0; s < kSecondUnits; ++s) {
      result.second_bias[s] += static_cast<float>(means[*left_out]) *
                               network.second_weights[*left_out * kSecondUnits + s];
    }
  }
  return result;
}

}  // namespace sixfold
