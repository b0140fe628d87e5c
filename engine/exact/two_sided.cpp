#include "exact/two_sided.h"

#include <algorithm>
#include <array>
#include <cassert>

#include "base/hash.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

/// For each home board and roll, the boards that the roll can lead to.
class Successors {
 public:
  explicit Successors(const SideIndex& index) : of_board_(index.size()) {
    Side elsewhere;
    elsewhere.add(1, 1);
    PlayList plays;
    for (std::uint32_t board = 1; board < index.size(); ++board) {
      for (const Roll roll : kRolls) {
        generate_plays({index.side(board), elsewhere}, roll, plays);
        auto& boards = of_board_[board][static_cast<std::size_t>(roll.index())];
        for (const PlayKey play : plays) boards.push_back(index.number(play.mover()));
      }
    }
  }

  [[nodiscard]] const std::vector<std::uint32_t>& after(std::uint32_t board, Roll roll) const {
    return of_board_[board][static_cast<std::size_t>(roll.index())];
  }

 private:
  std::vector<std::array<std::vector<std::uint32_t>, kRollCount>> of_board_;
};

/// What a stored table may hold, whoever stored it: but for rounding, chances and equities.
bool is_entry(const TwoSidedTable::Entry& entry) {
  constexpr double kMost = 1.0 + 1e-9;
  const auto is_equity = [](double value) { return value >= -kMost && value <= kMost; };
  return entry.win_probability >= 0.0 && entry.win_probability <= kMost && is_equity(entry.owned) &&
         is_equity(entry.centred) && is_equity(entry.opponents) && is_equity(entry.hold_owned) &&
         is_equity(entry.hold_centred);
}

}  // namespace

TwoSidedTable::TwoSidedTable() : index_(kHomePoints, kCheckers) {}

TwoSidedTable::TwoSidedTable(Workers& workers) : TwoSidedTable() {
  const std::uint32_t size = index_.size();
  entries_.resize(std::size_t{size} * size);
  for (std::uint32_t board = 1; board < size; ++board) {
    entries_[place(board, 0)] = {0.0, -1.0, -1.0, -1.0, -1.0, -1.0};
    entries_[place(0, board)] = {1.0, 1.0, 1.0, 1.0, 1.0, 1.0};
  }
  const Successors successors(index_);
  const auto solve = [&](std::uint32_t roller, std::uint32_t opponent) {
    Entry mean;
    for (const Roll roll : kRolls) {
      // The next player's values are seen from his side.
      double win = 0.0;
      double owned = -2.0;
      double centred = -2.0;
      double opponents = -2.0;
      for (const std::uint32_t board : successors.after(roller, roll)) {
        const Entry& next = entries_[place(opponent, board)];
        win = std::max(win, 1.0 - next.win_probability);
        owned = std::max(owned, -next.opponents);
        centred = std::max(centred, -next.centred);
        opponents = std::max(opponents, -next.owned);
      }
      const double weight = static_cast<double>(roll.weight()) / kDiceOutcomes;
      mean.win_probability += weight * win;
      mean.hold_owned += weight * owned;
      mean.hold_centred += weight * centred;
      mean.opponents += weight * opponents;
    }
    const double doubled = std::min(mean.double_take(), 1.0);
    mean.owned = std::max(mean.hold_owned, doubled);
    mean.centred = std::max(mean.hold_centred, doubled);
    entries_[place(roller, opponent)] = mean;
  };
  // A play makes its own board's number smaller, so pairs of one sum don't need one another.
  for (std::uint32_t sum = 2; sum <= 2 * (size - 1); ++sum) {
    const std::uint32_t first = sum < size ? 1 : sum - size + 1;
    const std::uint32_t last = std::min(sum - 1, size - 1);
    constexpr std::uint32_t kChunk = 32;
    workers.for_each((last - first) / kChunk + 1, [&](std::size_t chunk) {
      const std::uint32_t begin = first + kChunk * static_cast<std::uint32_t>(chunk);
      for (std::uint32_t roller = begin; roller <= std::min(last, begin + kChunk - 1); ++roller) {
        solve(roller, sum - roller);
      }
    });
  }
}

TwoSidedTable TwoSidedTable::from_cache(Workers& workers, TableCache& cache) {
  TwoSidedTable table;
  const std::string name = "two-sided-" + std::to_string(kCheckers);
  const std::size_t size = std::size_t{table.index_.size()} * table.index_.size();
  const auto is_sound = [&] {
    return std::all_of(table.entries_.begin(), table.entries_.end(), is_entry);
  };
  if (cache.load(name, {size}, is_sound, table.entries_)) return table;
  table = TwoSidedTable(workers);
  cache.store(name, table.entries_);
  return table;
}

bool TwoSidedTable::holds(const Position& position) const noexcept {
  assert(!game_over(position));
  return position.roller.borne_off() > 0 && position.opponent.borne_off() > 0 &&
         index_.holds(position.roller) && index_.holds(position.opponent);
}

OutcomeDistribution TwoSidedTable::outcomes(const Position& position) const noexcept {
  const double win = entry(position).win_probability;
  OutcomeDistribution outcomes;
  outcomes[static_cast<std::size_t>(Outcome::kLoseSingle)] = 1.0 - win;
  outcomes[static_cast<std::size_t>(Outcome::kWinSingle)] = win;
  return outcomes;
}

std::uint64_t TwoSidedTable::hash() const noexcept {
  return hash_of_words(
      {reinterpret_cast<const char*>(entries_.data()), entries_.size() * sizeof entries_[0]});
}

}  // namespace sixfold
