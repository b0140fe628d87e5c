// Means with what their intervals need.
#pragma once

#include <algorithm>

namespace sixfold {

inline constexpr double kTwoSided95 = 1.96;

// A mean, of which only some of what is seen may count.
class Mean {
 public:
  void add(double value, bool counts = true) {
    ++seen_;
    if (!counts) return;
    ++counted_;
    sum_ += value;
    squares_ += value * value;
  }
  [[nodiscard]] double count() const { return counted_; }
  [[nodiscard]] double fraction() const { return seen_ > 0 ? counted_ / seen_ : 0.0; }
  [[nodiscard]] double mean() const { return counted_ > 0 ? sum_ / counted_ : 0.0; }
  [[nodiscard]] double variance_of_mean() const {
    if (counted_ < 2) return 0.0;
    return std::max(0.0, squares_ / counted_ - mean() * mean()) / (counted_ - 1);
  }

 private:
  double seen_ = 0.0;
  double counted_ = 0.0;
  double sum_ = 0.0;
  double squares_ = 0.0;
};

}  // namespace sixfold
