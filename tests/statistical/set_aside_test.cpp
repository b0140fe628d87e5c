// What is told of plays that are set aside, and of the others, holds as often as it says, and is
// right on average: fixed seeds, games solved exactly. bench/coverage asks with more of them.
#include "statistical/set_aside.h"

#include <catch2/catch.hpp>

namespace sixfold {
namespace {

/// Not fewer hold than are said to, but for chance: three standard errors of so many.
void check_holding(const GroupedMean& holding, double level) {
  REQUIRE(holding.count() > 100);
  CHECK(holding.mean() >= level - 3.0 * std::sqrt(level * (1.0 - level) / holding.count()));
}

void check_floor(std::uint64_t trials) {
  Workers workers(available_threads());
  const CoveragePlayers players(exact_player());
  const std::vector<CoverageProblem> problems = set_aside_problems(exact_player());
  std::vector<AsideResult> results(problems.size());
  workers.for_each(problems.size(), [&](std::size_t i) {
    results[i] =
        measure_set_aside(problems[i], players, {trials, 0.05, CoverageLuck::kWrong, 60, 1});
  });
  AsideResult all;
  for (const AsideResult& result : results) all += result;
  INFO("bounds hold in " << all.aside.holding.mean() << " of " << all.aside.holding.count()
                         << ", intervals in " << all.others.holding.mean() << " of "
                         << all.others.holding.count());
  check_holding(all.aside.holding, 0.95);
  check_holding(all.others.holding, 0.95);
  // Of plays set aside a bound is told, and no mean: their second half has a say in it.
  INFO("told costs are " << all.others.own_error.mean() << " +- "
                         << all.others.own_error.standard_error() << " too high");
  CHECK(std::abs(all.others.own_error.mean()) <= 2.0 * all.others.own_error.standard_error());
}

}  // namespace

TEST_CASE("A mean of grouped values has the error of its groups") {
  GroupedMean mean;
  // Two groups that are all of one value: as if two had been drawn.
  mean.add_group(3.0, 3.0);
  mean.add_group(0.0, 3.0);
  CHECK(mean.mean() == Approx(0.5));
  CHECK(mean.standard_error() == Approx(std::sqrt(2.0 * 1.5 * 1.5) / 6.0));
}

TEST_CASE("What is told of plays set aside is true with a floor of 36 trials", "[slow]") {
  check_floor(36);
}

TEST_CASE("What is told of plays set aside is true with a floor of 72 trials", "[long]") {
  check_floor(72);
}

TEST_CASE("What is told of plays set aside is true with a floor of 144 trials", "[slow]") {
  check_floor(144);
}

}  // namespace sixfold
