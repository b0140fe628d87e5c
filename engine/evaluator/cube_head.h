/// What a network says of the cube: four lives (rules/cube_lives.h), read off its hidden units and
/// the outcomes that it predicts.
///
/// Shapes: H hidden units, L lives (4), K shapes of the outcomes (kOutcomeShapes).
///
///   lives = clamp(hidden * hidden_weights + shapes * shape_weights, 0, 1)
///
/// `hidden` are the squared activations of evaluator/network.h, `shapes` those of outcome_shapes().
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <vector>

#include "evaluator/network.h"
#include "rules/cube_lives.h"

namespace sixfold {

inline constexpr std::size_t kOutcomeShapes = 11;

/// Polynomials of the outcomes: a constant, the chance p to win to the third power, and the points
/// beyond single games, won and lost, with their products. `Value` is a number or a vector of them.
template <typename Value>
[[gnu::always_inline]] inline void outcome_shapes(const Value (&outcomes)[kOutcomeCount],
                                                  Value (&shapes)[kOutcomeShapes]) noexcept {
  const Value p = outcomes[3] + outcomes[4] + outcomes[5];
  const Value won = outcomes[4] + (outcomes[5] + outcomes[5]);
  const Value lost = outcomes[1] + (outcomes[0] + outcomes[0]);
  shapes[0] = Value{} + 1.0f;
  shapes[1] = p;
  shapes[2] = p * p;
  shapes[3] = p * p * p;
  shapes[4] = won;
  shapes[5] = lost;
  shapes[6] = won * won;
  shapes[7] = lost * lost;
  shapes[8] = won * lost;
  shapes[9] = won * p;
  shapes[10] = lost * p;
}

struct CubeHead {
  int hidden = 0;                     ///< H
  std::vector<float> hidden_weights;  ///< H x L
  std::vector<float> shape_weights;   ///< K x L
  friend bool operator==(const CubeHead&, const CubeHead&) = default;
};

/// Of an evaluator's networks, by phase, as many as it has.
using CubeHeads = std::vector<CubeHead>;

/// Calls visit(name, values, rows, columns) for both arrays.
template <typename AnyHead, typename Visit>
void for_each_head_array(AnyHead& head, Visit visit) {
  visit("hidden_weights", head.hidden_weights, static_cast<std::size_t>(head.hidden), kLifeCount);
  visit("shape_weights", head.shape_weights, kOutcomeShapes, kLifeCount);
}

}  // namespace sixfold
