#include "exact/one_sided.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <string>

#include "base/hash.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

constexpr int kMostRolls = 80;
/// Ends of a distribution that are dropped: far below what a float's last digit makes of the rest.
constexpr double kNegligible = 1e-9;
constexpr double kEqualMeans = 1e-12;

/// A distribution as it is summed up: P(0 rolls), P(1 roll), ...
using RollSums = std::array<double, kMostRolls>;

void add_one_roll_later(RollSums& sums, const RollDistribution& after, double weight) {
  for (int i = 0; i < after.counts; ++i) {
    sums[static_cast<std::size_t>(after.first + i + 1)] +=
        weight * static_cast<double>(after.probability[static_cast<std::size_t>(i)]);
  }
}

RollDistribution trimmed(const RollSums& sums) {
  std::size_t first = 0;
  std::size_t last = kMostRolls - 1;
  while (first < last && sums[first] < kNegligible) ++first;
  while (last > first && sums[last] < kNegligible) --last;
  while (last - first + 1 > RollDistribution::kMostCounts) {
    sums[first] < sums[last] ? ++first : --last;
  }
  RollDistribution rolls;
  rolls.first = static_cast<std::uint8_t>(first);
  rolls.counts = static_cast<std::uint8_t>(last - first + 1);
  for (std::size_t i = first; i <= last; ++i) {
    rolls.probability[i - first] = static_cast<float>(sums[i]);
  }
  return rolls;
}

/// What a stored table may hold, whoever stored it: but for rounding, distributions that end within
/// it.
bool is_mean(double mean) { return mean >= 0.0 && mean <= kMostRolls; }
bool is_distribution(const RollDistribution& rolls) {
  double sum = 0.0;
  for (const float probability : rolls.probability) {
    if (!(probability >= 0.0f && probability <= 1.00001f)) return false;
    sum += static_cast<double>(probability);
  }
  return rolls.counts <= RollDistribution::kMostCounts &&
         rolls.first + rolls.counts <= kMostRolls && sum < 1.0 + 1e-5;
}

double variance(const RollDistribution& rolls, double mean) {
  double sum = 0.0;
  for (int k = rolls.first; k <= rolls.last(); ++k) sum += rolls.of(k) * (k - mean) * (k - mean);
  return sum;
}

/// The chance that a side is done with its k-th roll while the other, having made k - `behind`, is
/// not: over all k.
double first_to_finish(const RollDistribution& side, const RollDistribution& other, int behind) {
  double chance = 0.0;
  double other_done = 0.0;
  for (int k = 0; k <= side.last(); ++k) {
    other_done += other.of(k - behind);
    chance += side.of(k) * (1.0 - other_done);
  }
  return chance;
}

/// The numbers of a table's positions with each number of pips, fewest pips first. Every play leads
/// to fewer pips, so positions of one group can be solved at once.
std::vector<std::vector<std::uint32_t>> by_pips(const SideIndex& index) {
  std::vector<std::vector<std::uint32_t>> groups;
  for (std::uint32_t number = 1; number < index.size(); ++number) {
    const auto pips = static_cast<std::size_t>(index.side(number).pips());
    if (groups.size() <= pips) groups.resize(pips + 1);
    groups[pips].push_back(number);
  }
  return groups;
}

}  // namespace

OneSidedTable::OneSidedTable(int points)
    : index_(points, kMaxCheckers), full_board_(points - 1, kMaxCheckers) {
  assert(points >= 6 && points <= 10);
}

OneSidedTable::OneSidedTable(int points, Workers& workers) : OneSidedTable(points) {
  means_.resize(index_.size());
  rolls_.resize(index_.size());
  first_off_.resize(full_board_.size());
  RollSums none{};
  none[0] = 1.0;
  rolls_[0] = trimmed(none);
  constexpr std::size_t kChunk = 256;
  for (const auto& group : by_pips(index_)) {
    workers.for_each((group.size() + kChunk - 1) / kChunk, [&](std::size_t chunk) {
      const std::size_t end = std::min(group.size(), (chunk + 1) * kChunk);
      for (std::size_t i = chunk * kChunk; i < end; ++i) solve(index_.side(group[i]));
    });
  }
}

std::string OneSidedTable::cache_name(int points) { return "one-sided-" + std::to_string(points); }

OneSidedTable OneSidedTable::from_cache(int points, Workers& workers, TableCache& cache) {
  OneSidedTable table(points);
  const std::string name = cache_name(points);
  const std::size_t size = table.index_.size();
  const auto is_sound = [&] {
    return std::all_of(table.means_.begin(), table.means_.end(), is_mean) &&
           std::all_of(table.rolls_.begin(), table.rolls_.end(), is_distribution) &&
           std::all_of(table.first_off_.begin(), table.first_off_.end(), is_distribution);
  };
  if (cache.load(name, {size, size, table.full_board_.size()}, is_sound, table.means_, table.rolls_,
                 table.first_off_)) {
    return table;
  }
  table = OneSidedTable(points, workers);
  cache.store(name, table.means_, table.rolls_, table.first_off_);
  return table;
}

void OneSidedTable::solve(const Side& side) {
  // An opponent who is out of the way.
  Side elsewhere;
  elsewhere.add(1, 1);
  const bool full_board = side.borne_off() == 0;
  double mean = 1.0;
  RollSums sums{};
  RollSums first_off{};
  PlayList plays;
  for (const Roll roll : kRolls) {
    generate_plays({side, elsewhere}, roll, plays);
    std::uint32_t best = index_.number(plays[0].mover());
    Side best_side = plays[0].mover();
    for (const PlayKey play : plays.span().subspan(1)) {
      const std::uint32_t number = index_.number(play.mover());
      const double gain = means_[best] - means_[number];
      const bool better = std::abs(gain) > kEqualMeans ? gain > 0.0
                                                       : variance(rolls_[number], means_[number]) <
                                                             variance(rolls_[best], means_[best]);
      if (better) {
        best = number;
        best_side = play.mover();
      }
    }
    const double weight = static_cast<double>(roll.weight()) / kDiceOutcomes;
    mean += weight * means_[best];
    add_one_roll_later(sums, rolls_[best], weight);
    if (!full_board) continue;
    if (best_side.borne_off() > 0) {
      first_off[1] += weight;
    } else {
      add_one_roll_later(first_off, first_off_[full_board_number(best_side)], weight);
    }
  }
  const std::uint32_t number = index_.number(side);
  means_[number] = mean;
  rolls_[number] = trimmed(sums);
  if (full_board) first_off_[full_board_number(side)] = trimmed(first_off);
}

double OneSidedTable::standard_deviation(const Side& side) const noexcept {
  return std::sqrt(variance(rolls(side), mean_rolls(side)));
}

bool OneSidedTable::holds_race(const Position& position) const noexcept {
  if (!is_race(position) || !holds(position.roller) || !holds(position.opponent)) return false;
  const auto whole_or_begun = [](const Side& side) {
    return side.borne_off() > 0 || side.total() == kMaxCheckers;
  };
  return whole_or_begun(position.roller) && whole_or_begun(position.opponent);
}

OutcomeDistribution OneSidedTable::race_outcomes(const Position& position) const noexcept {
  assert(holds_race(position));
  const RollDistribution& roller = rolls(position.roller);
  const RollDistribution& opponent = rolls(position.opponent);
  // When the side on roll makes its k-th roll the other has made k - 1; when the other makes its
  // k-th, the side on roll has made k.
  const double win = first_to_finish(roller, opponent, 1);
  double win_gammon = 0.0;
  if (position.opponent.borne_off() == 0) {
    win_gammon = first_to_finish(roller, rolls_to_first_off(position.opponent), 1);
  }
  double lose_gammon = 0.0;
  if (position.roller.borne_off() == 0) {
    lose_gammon = first_to_finish(opponent, rolls_to_first_off(position.roller), 0);
  }
  // Rounding may leave a share just below zero, and a chance to win just out of 0..1: then the
  // upper bound is below the lower one, which std::clamp does not allow.
  win_gammon = std::min(std::max(win_gammon, 0.0), win);
  lose_gammon = std::min(std::max(lose_gammon, 0.0), 1.0 - win);
  return {{0.0, lose_gammon, 1.0 - win - lose_gammon, win - win_gammon, win_gammon, 0.0}};
}

std::uint64_t OneSidedTable::hash() const noexcept {
  return hash_of_words(
      {reinterpret_cast<const char*>(means_.data()), means_.size() * sizeof means_[0]});
}

}  // namespace sixfold
