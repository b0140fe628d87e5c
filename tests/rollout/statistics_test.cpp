#include "rollout/statistics.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "rollout/random_stream.h"

namespace sixfold {

TEST_CASE("Student's t has the quantiles of printed tables") {
  // 97.5% points of the tables in any textbook, from memory.
  struct Row {
    std::uint64_t degrees;
    double quantile;
  };
  for (const Row& row : {Row{1, 12.706}, Row{2, 4.303}, Row{3, 3.182}, Row{5, 2.571},
                         Row{10, 2.228}, Row{30, 2.042}, Row{120, 1.980}}) {
    INFO(row.degrees);
    CHECK(student_quantile(0.975, row.degrees) == Approx(row.quantile).margin(0.0005));
    CHECK(student_quantile(0.025, row.degrees) == Approx(-row.quantile).margin(0.0005));
  }
  CHECK(student_quantile(0.995, 5) == Approx(4.032).margin(0.0005));
}

TEST_CASE("The normal distribution has the quantiles of printed tables") {
  // From memory.
  struct Row {
    double probability;
    double quantile;
  };
  for (const Row& row : {Row{0.5, 0.0}, Row{0.9, 1.2816}, Row{0.95, 1.6449}, Row{0.975, 1.9600},
                         Row{0.99, 2.3263}, Row{0.995, 2.5758}, Row{0.999, 3.0902}}) {
    INFO(row.probability);
    CHECK(normal_quantile(row.probability) == Approx(row.quantile).margin(0.00005));
    CHECK(normal_quantile(1.0 - row.probability) == Approx(-row.quantile).margin(0.00005));
  }
}

TEST_CASE("A mean of blocks has the textbook's standard error and half-width") {
  const std::vector<double> blocks{1.0, 2.0, 3.0, 6.0};
  // Mean 3; squares 4 + 1 + 0 + 9 over 3, then over 4.
  const Estimate estimate = estimate_from_blocks(blocks, 0.95);
  CHECK(estimate.mean == Approx(3.0));
  CHECK(estimate.standard_error == Approx(std::sqrt(14.0 / 12.0)));
  CHECK(estimate.half_width == Approx(3.182 * std::sqrt(14.0 / 12.0)).epsilon(2e-4));
  CHECK(estimate.blocks == 4);
}

TEST_CASE("Student's t has the closed forms of one and two degrees of freedom") {
  for (const double p : {0.6, 0.9, 0.975, 0.999}) {
    const double cauchy = std::tan(std::numbers::pi * (p - 0.5));
    CHECK(student_quantile(p, 1) == Approx(cauchy).epsilon(1e-7));
    const double two = (2 * p - 1) * std::sqrt(2.0 / (4 * p * (1 - p)));
    CHECK(student_quantile(p, 2) == Approx(two).epsilon(1e-7));
  }
}

TEST_CASE("Intervals from blocks cover the true mean as often as they say") {
  // 2,000 samples of 6 normal blocks; the band is the binomial 99.9% one.
  constexpr int kSamples = 2000;
  for (const double confidence : {0.95, 0.99}) {
    RandomStream random(11, 0);
    int covered = 0;
    for (int sample = 0; sample < kSamples; ++sample) {
      std::vector<double> blocks(6);
      for (double& block : blocks) {
        const double angle = 2.0 * std::numbers::pi * random.uniform();
        block = 3.0 + std::sqrt(-2.0 * std::log1p(-random.uniform())) * std::cos(angle);
      }
      const Estimate estimate = estimate_from_blocks(blocks, confidence);
      covered += std::abs(estimate.mean - 3.0) <= estimate.half_width ? 1 : 0;
    }
    const double band = 3.29 * std::sqrt(kSamples * confidence * (1.0 - confidence));
    INFO(covered);
    CHECK(std::abs(covered - kSamples * confidence) < band);
  }
}

TEST_CASE("One block leaves the error unknown") {
  const std::vector<double> one{0.25};
  const Estimate estimate = estimate_from_blocks(one, 0.95);
  CHECK(estimate.mean == 0.25);
  CHECK(std::isinf(estimate.half_width));
}

TEST_CASE("An outcome that 36 trials did not show has the interval that Wilson gives") {
  const std::vector<double> none(6, 0.0);
  const Estimate plain = probability_from_blocks(none, none, 6, 0.95);
  CHECK(plain.mean == 0.0);
  // z^2 / (n + z^2) with z = 1.959964.
  CHECK(plain.half_width == Approx(3.841459 / 39.841459).epsilon(1e-6));
  const std::vector<double> all(6, 1.0);
  CHECK(probability_from_blocks(all, none, 6, 0.95).half_width == Approx(plain.half_width));
}

TEST_CASE("Where luck explains the variance of a rare outcome, the spread of the blocks counts") {
  const std::vector<double> blocks{.010, .011, .009, .010, .012, .008};
  const std::vector<double> none(6, 0.0);
  const std::vector<double> luck{.2, -.2, .2, -.2, .2, -.2};  // More than a case's variance.
  const double spread = estimate_from_blocks(blocks, 0.95).half_width;
  CHECK(probability_from_blocks(blocks, luck, 6, 0.95).half_width == spread);
  CHECK(probability_from_blocks(blocks, none, 6, 0.95).half_width > 0.09);
}

TEST_CASE("Outcomes with some cases have the interval of their blocks, a little longer") {
  const std::vector<double> none(60, 0.0);
  const auto growth = [&](double low, double high) {
    std::vector<double> blocks;
    for (int i = 0; i < 60; ++i) blocks.push_back(i % 2 == 0 ? low : high);
    return probability_from_blocks(blocks, none, 6, 0.95).half_width /
           estimate_from_blocks(blocks, 0.95).half_width;
  };
  // sqrt(c (1 - c) / (p (1 - p))) with c = (cases + z^2 / 2) / (trials + z^2) for 360 trials, of
  // which 30 and 150 are cases.
  CHECK(growth(0.0, 1.0 / 6.0) == Approx(1.02359).epsilon(1e-5));
  CHECK(growth(2.0 / 6.0, 3.0 / 6.0) == Approx(1.00030).epsilon(1e-5));
}

TEST_CASE("Plays that never ended differently may differ by what unseen trials are worth") {
  const std::vector<double> none(6, 0.0);
  const Estimate unseen = difference_from_blocks(none, none, 2.0, 6, 0.95);
  CHECK(unseen.mean == 0.0);
  CHECK(unseen.half_width == Approx(2.0 * 3.841459 / 39.841459).epsilon(1e-6));
  // Where every block differs, the spread counts.
  const std::vector<double> some{.1, .3, .2, .1, .4, .2};
  CHECK(difference_from_blocks(some, none, 2.0, 6, 0.95).half_width ==
        estimate_from_blocks(some, 0.95).half_width);
}

TEST_CASE("Blocks that all come to the same do not make an equity certain") {
  const std::vector<double> same(6, 1.0);
  const std::vector<double> none(6, 0.0);
  const Estimate equity = equity_from_blocks(same, none, 4.0, 6, 0.95);
  CHECK(equity.mean == Approx(1.0));
  // Wilson's interval for 0 cases in 36 trials is 0 to .0964 (z = 1.96), from memory.
  CHECK(equity.half_width == Approx(4.0 * 0.0964).epsilon(0.01));
  CHECK(difference_from_blocks(same, none, 4.0, 6, 0.95).half_width == equity.half_width);
  // Where results differ from block to block, their spread says enough.
  const std::vector<double> various{1.0, 0.5, -0.5, 0.0, 1.5, 2.0};
  CHECK(equity_from_blocks(various, none, 4.0, 6, 0.95) == estimate_from_blocks(various, 0.95));
}

}  // namespace sixfold
