/// Dense matrices over the trainers' plain arrays: the trainers' one use of Eigen.
#pragma once

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <cstddef>
#include <vector>

#include "rollout/random_stream.h"

namespace sixfold {

using Matrix = Eigen::Matrix<float, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using MatrixView = Eigen::Map<Matrix>;
using ConstMatrixView = Eigen::Map<const Matrix>;

[[nodiscard]] inline Eigen::Index index(std::size_t i) { return static_cast<Eigen::Index>(i); }

[[nodiscard]] inline ConstMatrixView view(const std::vector<float>& values, std::size_t rows,
                                          std::size_t columns) {
  return {values.data(), index(rows), index(columns)};
}

/// Values between -range and +range.
inline void fill_uniform(std::vector<float>& values, float range, RandomStream& random) {
  for (float& value : values) value = range * static_cast<float>(2.0 * random.uniform() - 1.0);
}

}  // namespace sixfold
