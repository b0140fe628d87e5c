/// The softmax that ends an evaluator's network, in floats.
#pragma once

#include <algorithm>
#include <cmath>

#include "rules/types.h"

namespace sixfold {

/// Softmax over possible outcomes, in place; impossible ones become zero.
inline void softmax(float* logits, unsigned possible) {
  float highest = -1e30f;
  for (unsigned o = 0; o < kOutcomeCount; ++o) {
    if ((possible >> o & 1u) != 0) highest = std::max(highest, logits[o]);
  }
  float sum = 0.0f;
  for (unsigned o = 0; o < kOutcomeCount; ++o) {
    logits[o] = (possible >> o & 1u) != 0 ? std::exp(logits[o] - highest) : 0.0f;
    sum += logits[o];
  }
  for (unsigned o = 0; o < kOutcomeCount; ++o) logits[o] /= sum;
}

}  // namespace sixfold
