#include "base/workers.h"

#include <tbb/global_control.h>

#include <atomic>
#include <catch2/catch.hpp>
#include <numeric>
#include <vector>

namespace sixfold {
namespace {

std::size_t allowed() {
  return tbb::global_control::active_value(tbb::global_control::max_allowed_parallelism);
}

}  // namespace

TEST_CASE("Every turn is taken once, on any number of threads") {
  for (const int threads : {1, 2, 7}) {
    Workers workers(threads);
    std::vector<std::atomic<int>> taken(1000);
    workers.for_each(taken.size(), [&](std::size_t i) { ++taken[i]; });
    for (const auto& times : taken) CHECK(times == 1);
  }
}

TEST_CASE("An exception of a turn reaches the caller") {
  Workers workers(2);
  CHECK_THROWS_AS(workers.for_each(10,
                                   [](std::size_t i) {
                                     if (i == 3) throw 1;
                                   }),
                  int);
}

TEST_CASE("A host program's limit of threads is lowered by nobody") {
  const std::size_t before = allowed();
  {
    const Workers few(2);
    CHECK(allowed() >= before);
    const Workers many(static_cast<int>(before) + 5);
    CHECK(allowed() >= before);
  }
  CHECK(allowed() == before);
  // What the host itself has set is the least, and stays.
  const tbb::global_control own(tbb::global_control::max_allowed_parallelism, 1);
  const Workers many(7);
  CHECK(allowed() == 1);
}

}  // namespace sixfold
