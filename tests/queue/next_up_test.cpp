// Where the next trials of a night go.
#include "queue/next_up.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <vector>

#include "rollout/state.h"

namespace sixfold {
namespace {

/// A part that has had its floor: an open verdict, `mean` half-widths and more away from settled.
PartAt open_part(std::int64_t entry, double mean, double seconds = 1.0) {
  PartAt part;
  part.entry = entry;
  Standing& at = part.standing;
  at.rounds = 1;
  at.trials = 600;
  at.going_on = 2;
  at.trials_each = 200;
  at.seconds = seconds;
  at.wanted = 0.001;
  at.half_width = 0.0196;
  at.closest = Closest{"a", "b", {mean, 0.01, 0.0196, 33}, true};
  return part;
}

PartAt new_part(std::int64_t entry) {
  PartAt part;
  part.entry = entry;
  return part;
}

PartAt settled_part(std::int64_t entry) {
  PartAt part = open_part(entry, 0.03);
  part.standing.closest->is_open = false;
  return part;
}

PartAt done_part(PartAt part) {
  part.standing.is_done = true;
  return part;
}

/// The order in which parts are taken up when each is done with one turn.
std::vector<std::int64_t> order_of(std::vector<PartAt> parts, bool beyond = false) {
  std::vector<std::int64_t> order;
  while (const auto next = next_up(parts, beyond)) {
    order.push_back(parts[*next].entry);
    parts[*next].standing.is_done = true;
    parts[*next].standing.beyond = kMostBeyond;
  }
  return order;
}

/// The chance that zero is one and a half half-widths of a cost away at `growth` times the trials,
/// by playing it: a truth, and a mean of new trials about it.
double chance_by_playing(const Estimate& cost, double growth, int plays) {
  std::mt19937_64 random(7);
  std::normal_distribution<double> normal;
  int settled = 0;
  for (int i = 0; i < plays; ++i) {
    const double truth = cost.mean + cost.standard_error * normal(random);
    const double fresh = truth + cost.standard_error / std::sqrt(growth - 1.0) * normal(random);
    const double mean = (cost.mean + (growth - 1.0) * fresh) / growth;
    if (std::abs(mean) > 1.5 * cost.half_width / std::sqrt(growth)) ++settled;
  }
  return static_cast<double>(settled) / plays;
}

}  // namespace

TEST_CASE("Every entry has its floor before any has its precision") {
  CHECK(order_of({open_part(1, 0.01), new_part(2), settled_part(3), new_part(4)}) ==
        std::vector<std::int64_t>{2, 4, 1, 3});
}

TEST_CASE("A higher priority comes before all else") {
  PartAt urgent = settled_part(3);
  urgent.priority = 1;
  PartAt later = new_part(1);
  later.priority = -1;
  CHECK(order_of({later, new_part(2), urgent}) == std::vector<std::int64_t>{3, 2, 1});
}

TEST_CASE("Open verdicts come before settled ones, the likeliest to be settled first") {
  CHECK(order_of({settled_part(1), open_part(2, 0.0), open_part(3, 0.018), open_part(4, 0.01)}) ==
        std::vector<std::int64_t>{3, 4, 2, 1});
  // As likely, for a tenth of the time.
  CHECK(order_of({open_part(1, 0.01, 10.0), open_part(2, 0.01, 1.0)}) ==
        std::vector<std::int64_t>{2, 1});
}

TEST_CASE("A verdict that is settled by a little is not left alone as long as it is not clear") {
  PartAt little = settled_part(2);
  little.standing.closest->cost.mean = 0.024;
  CHECK(settling_rate(little.standing, 0.001) > 0.0);
  CHECK(order_of({settled_part(1), little}) == std::vector<std::int64_t>{2, 1});
}

TEST_CASE("The chance that a verdict becomes clear is that of the normal model") {
  for (const double mean : {0.012, 0.019, 0.024, 0.028}) {
    Standing at = open_part(1, mean).standing;
    // Up to a quarter more trials: 0.25 * 400 of 600 that took a second.
    const double end = at.closest->cost.half_width / std::sqrt(1.25);
    const double seconds = 0.25 * 400.0 / 600.0;
    constexpr int kPlays = 200'000;
    const double played = chance_by_playing(at.closest->cost, 1.25, kPlays);
    const double error = std::sqrt(played * (1.0 - played) / kPlays);
    INFO("mean " << mean << ", by playing " << played);
    CHECK(std::abs(settling_rate(at, end * 1.0001) * seconds - played) < 4.0 * error + 1.0 / kPlays);
  }
}

TEST_CASE("The rate is nearly that of the best moment to look, up to the wanted precision") {
  for (const double mean : {0.0, 0.012}) {
    const Standing at = open_part(1, mean).standing;
    const auto best_up_to = [&](double most) {
      double best = 0.0;
      for (double growth = 1.25; growth <= most; growth *= 1.05) {
        const double seconds = (growth - 1.0) * 400.0 / 600.0;
        best = std::max(best, chance_by_playing(at.closest->cost, growth, 20'000) / seconds);
      }
      return best;
    };
    CHECK(settling_rate(at, 0.0) == Approx(best_up_to(16.0)).epsilon(0.1));
  }
  // An equal pair is hardest to settle at once: more room, more rate.
  const Standing equal = open_part(1, 0.0).standing;
  CHECK(settling_rate(equal, 0.0196 / std::sqrt(1.2)) < settling_rate(equal, 0.0));
}

TEST_CASE("Nothing is to be settled where nothing is open or known yet") {
  CHECK(settling_rate(new_part(1).standing, 0.01) == 0.0);
  CHECK(settling_rate(settled_part(1).standing, 0.01) == 0.0);
  Standing sure = open_part(1, 0.0).standing;
  sure.closest->cost = {0.01, 0.0, 0.0, 33};
  CHECK(settling_rate(sure, 0.01) == 0.0);
}

TEST_CASE("Planes come when all verdicts of their lesson are known, which then stay as they are") {
  PartAt planes = new_part(1);
  planes.kind = Part::Kind::kPlanes;
  planes.number = 2;
  const PartAt first = open_part(1, 0.01);
  CHECK(next_up(std::vector{first, planes}, false) == 0u);
  CHECK(next_up(std::vector{done_part(first), new_part(1), planes}, false) == 1u);
  // Another lesson does not hold them up.
  CHECK(order_of({done_part(first), planes, new_part(2)}) == std::vector<std::int64_t>{1, 2});
  const std::vector<PartAt> all{done_part(first), done_part(planes)};
  CHECK_FALSE(next_up(all, true));
}

TEST_CASE("Open verdicts go on beyond what was asked for only with time left over") {
  const PartAt done = done_part(open_part(1, 0.01));
  CHECK_FALSE(next_up(std::vector{done}, false));
  CHECK(next_up(std::vector{done}, true) == 0u);
  CHECK(order_of({done, settled_part(2), new_part(3)}, true) ==
        std::vector<std::int64_t>{3, 2, 1});
  CHECK_FALSE(next_up(std::vector{done_part(settled_part(1))}, true));
  PartAt fixed = done;
  fixed.standing.wanted = 0.0;
  CHECK_FALSE(next_up(std::vector{fixed}, true));
  PartAt often = done;
  often.standing.beyond = kMostBeyond - 1;
  CHECK(next_up(std::vector{often}, true) == 0u);
  often.standing.beyond = kMostBeyond;
  CHECK_FALSE(next_up(std::vector{often}, true));
}

TEST_CASE("An empty queue has nothing to do") {
  CHECK_FALSE(next_up({}, true));
}

}  // namespace sixfold
