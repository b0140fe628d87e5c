/// Games of one, two or three checkers a side, solved: full contact, gammons and backgammons,
/// without the cube.
///
/// Every position of such a game gets the distribution over its six outcomes when both sides play
/// for the most at a score; plays of equal worth (to 1e-13) are settled by the order of the
/// generator. Solved by modified policy iteration: positions are swept in order of both sides'
/// pips, so that only plays with a hit, and rolls without a play, look at values of the sweep
/// before. Bit-identical for any number of threads. Immutable once made; safe to use from any
/// thread.
/// Source: Puterman M. & Shin M., Modified policy iteration algorithms for discounted Markov
/// decision problems, Management Science 24(11), 1978.
#pragma once

#include <array>
#include <atomic>
#include <cassert>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/workers.h"
#include "exact/side_index.h"
#include "exact/table_cache.h"
#include "rules/outcome_distribution.h"

namespace sixfold {

class SolvedGame {
 public:
  static constexpr int kMostCheckers = 3;
  struct Settings {
    int checkers = 1;                  ///< a side, 1 to 3
    OutcomeWorth worth = kMoneyWorth;  ///< For the side on roll.
    /// Sweeps go on until no value changes by more. Changes fall by a quarter or more with each
    /// sweep (measured), so that values are off by four times as much at most.
    double last_change = 1e-11;
    const std::atomic<bool>* stop = nullptr;
    /// Called after each sweep, with the sweeps made and the largest change of a value.
    std::function<void(int sweeps, double change)> progress;
  };

  /// Nothing when stopped. REQUIRES: 1 <= settings.checkers <= 3.
  [[nodiscard]] static std::optional<SolvedGame> solve(const Settings& settings, Workers& workers);

  /// A money game stored earlier; nothing when there is none of use.
  [[nodiscard]] static std::optional<SolvedGame> from_cache(int checkers, TableCache& cache);
  /// REQUIRES: solved for money.
  void store(TableCache& cache) const;
  [[nodiscard]] static std::string cache_name(int checkers);

  [[nodiscard]] int checkers() const noexcept { return index_.checkers(); }
  [[nodiscard]] bool holds(const Position& position) const noexcept {
    return position.roller.total() == checkers() && position.opponent.total() == checkers();
  }
  /// Before the dice, for the side on roll, at whose score the game was solved.
  /// REQUIRES: holds(position), and no point is shared.
  [[nodiscard]] const OutcomeDistribution& outcomes(const Position& position) const noexcept {
    assert(holds(position));
    return outcomes_[std::size_t{index_.number(position.roller)} * index_.size() +
                     index_.number(position.opponent)];
  }
  /// Positions in which the game is not over.
  [[nodiscard]] std::size_t positions() const;
  /// Calls visit(position) for each of them.
  void for_each_position(const std::function<void(const Position&)>& visit) const;

 private:
  friend class FewCheckersSolver;
  explicit SolvedGame(int checkers);

  SideIndex index_;
  std::vector<OutcomeDistribution> outcomes_;  ///< By both sides' numbers, the roller's first.
};

}  // namespace sixfold
