// A network's forward pass as a general-purpose library does it: dense, in floats, all features of
// all children, nothing shared between them. What the engine's evaluator is measured against.
#pragma once

#include <memory>
#include <vector>

#include "evaluator/network.h"

namespace sixfold {

class DenseForward {
 public:
  DenseForward() = default;
  DenseForward(const DenseForward&) = delete;
  DenseForward& operator=(const DenseForward&) = delete;
  virtual ~DenseForward() = default;
  // `features` is children x F; returns children x O probabilities, all outcomes being possible.
  virtual const float* run(const std::vector<float>& features, std::size_t children) = 0;
};

// With AVX2 and FMA. REQUIRES: the machine has them.
std::unique_ptr<DenseForward> eigen_forward(const Network& network);
// Null when the program was built without oneDNN.
std::unique_ptr<DenseForward> onednn_forward(const Network& network);

}  // namespace sixfold
