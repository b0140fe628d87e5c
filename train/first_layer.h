/// The sparse first layer in training: a batch bakes the rows that it uses, sums gradients by row
/// and carries them back to features once.
///
/// Shapes: B batch, F features, R rows, W width. Results do not depend on threads: units are worked
/// in fixed slices.
#pragma once

#include <span>
#include <vector>

#include "base/workers.h"
#include "encoding/features.h"
#include "train/loops.h"

namespace sixfold {

class FirstLayer {
 public:
  /// REQUIRES: width is a multiple of kHiddenStep.
  explicit FirstLayer(std::size_t width);

  /// Bakes the rows that a batch uses from `first`, F x W.
  void bake(std::span<const RowList* const> batch, const std::vector<float>& first,
            const TrainingLoops& loops, Workers& workers);
  /// REQUIRES: the row is used by the batch that was baked last.
  [[nodiscard]] const float* row(Row row) const noexcept { return rows_.data() + row * width_; }
  /// Sets the gradients, F x W and W, for the batch that was baked last. `of_sums` is B x W.
  void gradient(std::span<const RowList* const> batch, const std::vector<float>& of_sums,
                std::vector<float>& of_first, std::vector<float>& of_bias,
                const TrainingLoops& loops, Workers& workers);

 private:
  std::size_t width_;
  std::vector<std::vector<WeightedFeature>> features_;  ///< of each row
  std::vector<float> rows_;                             ///< R x W
  std::vector<float> row_gradient_;                     ///< R x W
  std::vector<Row> used_rows_;
  std::vector<bool> is_used_;
};

}  // namespace sixfold
