/// Steps of Adam (Kingma D. & Ba J., Adam: a method for stochastic optimization, ICLR 2015,
/// algorithm 1) with decoupled weight decay and a moving average of the weights.
#pragma once

#include <cstdint>
#include <vector>

#include "base/workers.h"
#include "train/loops.h"

namespace sixfold {

/// One array of weights and all that a step changes with it.
struct TrainedArray {
  std::vector<float>* weights = nullptr;
  std::vector<float>* first_moment = nullptr;
  std::vector<float>* second_moment = nullptr;
  std::vector<float>* average = nullptr;
  const std::vector<float>* gradient = nullptr;
  float decay = 0.0f;  ///< Weights shrink by this times the learning rate.
};

/// The arrays of a network with those of the same shape that train it, in the order in which
/// for_each(network, visit) visits them; without decay.
template <typename AnyNetwork, typename ForEach>
[[nodiscard]] std::vector<TrainedArray> trained_arrays(AnyNetwork& weights,
                                                       AnyNetwork& first_moment,
                                                       AnyNetwork& second_moment,
                                                       AnyNetwork& average, AnyNetwork& gradient,
                                                       ForEach for_each) {
  std::vector<TrainedArray> arrays;
  for_each(weights, [&](const char*, std::vector<float>& values, std::size_t, std::size_t) {
    arrays.emplace_back().weights = &values;
  });
  const auto each = [&](AnyNetwork& network, auto TrainedArray::*place) {
    std::size_t i = 0;
    for_each(network, [&](const char*, std::vector<float>& values, std::size_t, std::size_t) {
      arrays[i++].*place = &values;
    });
  };
  each(first_moment, &TrainedArray::first_moment);
  each(second_moment, &TrainedArray::second_moment);
  each(average, &TrainedArray::average);
  each(gradient, &TrainedArray::gradient);
  return arrays;
}

/// Step number `number` (from 1) for all arrays; the work is shared out. Results do not depend on
/// threads.
void adam_step(const std::vector<TrainedArray>& arrays, std::uint64_t number, float learning_rate,
               const TrainingLoops& loops, Workers& workers);

/// The learning rate after a share of a run, along half a cosine.
[[nodiscard]] float rate_after(double share, float first, float last) noexcept;

}  // namespace sixfold
