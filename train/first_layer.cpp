#include "train/first_layer.h"

#include <algorithm>

namespace sixfold {
namespace {

constexpr std::size_t kSlice = kHiddenStep;

}  // namespace

FirstLayer::FirstLayer(std::size_t width)
    : width_(width),
      rows_(kRowCount * width),
      row_gradient_(kRowCount * width),
      is_used_(kRowCount) {
  for (int row = 0; row < kRowCount; ++row) features_.push_back(features_of_row(row));
}

void FirstLayer::bake(std::span<const RowList* const> batch, const std::vector<float>& first,
                      const TrainingLoops& loops, Workers& workers) {
  used_rows_.clear();
  std::fill(is_used_.begin(), is_used_.end(), false);
  for (const RowList* rows : batch) {
    for (const Row row : *rows) {
      if (is_used_[row]) continue;
      is_used_[row] = true;
      used_rows_.push_back(row);
    }
  }
  workers.for_each(width_ / kSlice, [&](std::size_t slice) {
    const std::size_t start = slice * kSlice;
    for (const Row row : used_rows_) {
      float* const out = rows_.data() + row * width_ + start;
      std::fill_n(out, kSlice, 0.0f);
      for (const WeightedFeature& entry : features_[row]) {
        const auto feature = static_cast<std::size_t>(entry.feature);
        loops.add_scaled(out, first.data() + feature * width_ + start, entry.weight, kSlice);
      }
    }
  });
}

void FirstLayer::gradient(std::span<const RowList* const> batch, const std::vector<float>& of_sums,
                          std::vector<float>& of_first, std::vector<float>& of_bias,
                          const TrainingLoops& loops, Workers& workers) {
  workers.for_each(width_ / kSlice, [&](std::size_t slice) {
    const std::size_t start = slice * kSlice;
    for (const Row row : used_rows_) {
      std::fill_n(row_gradient_.data() + row * width_ + start, kSlice, 0.0f);
    }
    for (std::size_t f = 0; f < kFeatureCount; ++f) {
      std::fill_n(of_first.data() + f * width_ + start, kSlice, 0.0f);
    }
    std::fill_n(of_bias.data() + start, kSlice, 0.0f);
    for (std::size_t i = 0; i < batch.size(); ++i) {
      const float* const from = of_sums.data() + i * width_ + start;
      loops.add(of_bias.data() + start, from, kSlice);
      for (const Row row : *batch[i]) {
        loops.add(row_gradient_.data() + row * width_ + start, from, kSlice);
      }
    }
    for (const Row row : used_rows_) {
      const float* const from = row_gradient_.data() + row * width_ + start;
      for (const WeightedFeature& entry : features_[row]) {
        const auto feature = static_cast<std::size_t>(entry.feature);
        loops.add_scaled(of_first.data() + feature * width_ + start, from, entry.weight, kSlice);
      }
    }
  });
}

}  // namespace sixfold
