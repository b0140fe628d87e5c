/// What each of the 21 rolls lets the side on roll do: the inputs of a luck network.
///
/// A fact is true or not; facts are numbered in groups. Steps are those of one checker with one die
/// from a point or the bar; where they land is one of Landing. Rolls of two different dice:
///
///   steps        (die, from, landing, checkers there: 1, 2, 3 or more)   a legal step
///   no step      (die)                                                  no point has a step
///   runs         (pips, from, landing)   one checker with both dice
///   meetings     (to, landing)           two checkers that meet there, with a die each
///   bar          (roll, checkers there: 0, 1, 2, 3 or more)
///
/// Doubles have `bar` too, a step from the bar, and instead of the others:
///
///   strides      (die, steps 1 to 4, from, landing)    one checker with so many dice
///   stocks       (die, from, checkers that can start: 1 to 4)
///
/// Facts say what is open to a roll, not which plays are legal as a whole:
///
/// - Landings are those before the roll. A run ends on the board, and so does a stride of two steps
///   or more. Checkers meet only where fewer than two stand.
/// - With one checker on the bar and two different dice, a die also has its steps from points when
///   the other one enters; runs are the entering checker's; meetings are where it enters. With more
///   on the bar there is nothing but the steps from it.
/// - Doubles that enter count all checkers on the bar as entered, and have so many strides less;
///   with four or more there are none, nor stocks. Doubles that don't enter have `bar` alone.
/// - Whether all checkers are at home is asked of the points alone, so that there may be steps off
///   while a checker is on the bar.
///
/// Constant data; safe to use from any thread.
#pragma once

#include <array>
#include <cassert>
#include <cstdint>
#include <span>
#include <vector>

#include "rules/position.h"
#include "rules/types.h"

namespace sixfold {

/// What stands where a step ends, to the mover.
enum class Landing : std::uint8_t { kEmpty, kBlot, kPoint, kHit, kBorneOff };

inline constexpr int kFactCount = 7190;

using Fact = std::uint16_t;

/// Up to kCapacity facts.
class FactList {
 public:
  /// A double's: strides of 4 steps and a stock from each of 15 places, and the bar.
  static constexpr std::size_t kCapacity = 5 * kMaxCheckers + 1;

  FactList() noexcept {}
  /// REQUIRES: size() < kCapacity.
  void push(int fact) noexcept {
    assert(size_ < kCapacity);
    facts_[size_++] = static_cast<Fact>(fact);
  }
  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  [[nodiscard]] const Fact* begin() const noexcept { return facts_.data(); }
  [[nodiscard]] const Fact* end() const noexcept { return facts_.data() + size_; }

 private:
  std::size_t size_ = 0;
  std::array<Fact, kCapacity> facts_;
};

/// The facts of a position's rolls. What several rolls have in common is held once.
struct RollFacts {
  /// Steps of each die from points (0 to 5), then from the bar.
  static constexpr std::size_t kSharedLists = 12;

  std::array<FactList, kSharedLists> shared;
  std::array<FactList, kRollCount> own;  ///< In the order of kRolls.
  /// Bit i: the facts of shared[i] are the roll's too.
  std::array<std::uint16_t, kRollCount> uses{};
};

/// REQUIRES: the game is not over.
[[nodiscard]] RollFacts roll_facts(const Position& position) noexcept;

/// Facts of which at most one is true: `size` of them, in `count` such slots side by side.
struct FactSlots {
  int first;
  int size;
  int count;
};

/// All slots that a roll's facts can come from.
[[nodiscard]] std::vector<FactSlots> slots_of_roll(Roll roll);

}  // namespace sixfold
