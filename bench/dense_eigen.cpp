#include <Eigen/Core>

#include "bench/dense_forward.h"

namespace sixfold {
namespace {

using Matrix = Eigen::Matrix<float, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

Matrix matrix(const std::vector<float>& values, std::size_t rows, std::size_t columns) {
  return Eigen::Map<const Matrix>(values.data(), static_cast<Eigen::Index>(rows),
                                  static_cast<Eigen::Index>(columns));
}

class EigenForward final : public DenseForward {
 public:
  explicit EigenForward(const Network& network) {
    std::size_t array = 0;
    for_each_array(network,
                   [&](const char*, const std::vector<float>& values, std::size_t rows,
                       std::size_t columns) { weights_[array++] = matrix(values, rows, columns); });
  }

  const float* run(const std::vector<float>& features, std::size_t children) override {
    const Matrix inputs = matrix(features, children, kFeatureCount);
    hidden_.noalias() = inputs * weights_[0];
    hidden_.rowwise() += weights_[1].row(0);
    hidden_ = hidden_.cwiseMax(0.0f).cwiseMin(1.0f);
    hidden_ = hidden_.cwiseAbs2();
    second_.noalias() = hidden_ * weights_[2];
    second_.rowwise() += weights_[3].row(0);
    second_ = second_.cwiseMax(kLeak * second_);
    outcomes_.noalias() = second_ * weights_[4];
    outcomes_.rowwise() += weights_[5].row(0);
    outcomes_ = outcomes_.array().exp();
    outcomes_.array().colwise() /= outcomes_.rowwise().sum().eval().array();
    return outcomes_.data();
  }

 private:
  Matrix weights_[6];
  Matrix hidden_;
  Matrix second_;
  Matrix outcomes_;
};

}  // namespace

std::unique_ptr<DenseForward> eigen_forward(const Network& network) {
  return std::make_unique<EigenForward>(network);
}

}  // namespace sixfold
