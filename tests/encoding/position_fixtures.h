/// Positions to test with, and how to name one of their rolls.
#pragma once

#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "oracles/random_positions.h"
#include "rules/notation.h"
#include "rules/position.h"
#include "rules/types.h"

namespace sixfold {

/// Positions of all numbers of checkers from `fewest_checkers` up, most of them with 15.
inline std::vector<Position> many_positions(std::uint64_t seed, int count,
                                            int fewest_checkers = 1) {
  std::mt19937_64 random(seed);
  std::vector<Position> positions;
  for (int i = 0; i < count; ++i) {
    const int few = fewest_checkers + i / 3 % (kMaxCheckers + 1 - fewest_checkers);
    positions.push_back(oracle::random_position(random, i % 3 == 0 ? few : kMaxCheckers));
  }
  return positions;
}

inline std::string case_text(const Position& position, Roll roll) {
  return position_text(position) + ", " + std::to_string(roll.high) + "-" +
         std::to_string(roll.low);
}

}  // namespace sixfold
