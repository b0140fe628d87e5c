/// What a thread has found out about positions, kept for when it meets them again.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "rules/position.h"

namespace sixfold {

/// Mixes all bits of a position into 64.
[[nodiscard]] constexpr std::uint64_t position_hash(const Position& position) noexcept {
  std::uint64_t hash = 0x9e3779b97f4a7c15;
  for (const Packed128 bits : {position.roller.bits(), position.opponent.bits()}) {
    for (const auto word :
         {static_cast<std::uint64_t>(bits), static_cast<std::uint64_t>(bits >> 64)}) {
      hash = (hash ^ word) * 0x2545f4914f6cdd1d;
      hash ^= hash >> 29;
    }
  }
  return hash;
}

/// A table of fixed size: of two positions that fall on the same place the later one stays. Not
/// safe to share between threads.
template <typename Value>
class PositionMemo {
 public:
  /// REQUIRES: places is a power of two.
  explicit PositionMemo(std::size_t places) : entries_(places) {}

  /// The value of a position; new is set to Value{} first. REQUIRES: position is not Position{}.
  [[nodiscard]] Value& at(const Position& position) {
    Entry& entry = entries_[position_hash(position) & (entries_.size() - 1)];
    if (entry.position != position) entry = {position, Value{}};
    return entry.value;
  }

 private:
  struct Entry {
    Position position;
    Value value;
  };
  std::vector<Entry> entries_;
};

}  // namespace sixfold
