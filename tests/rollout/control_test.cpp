// How long a rollout goes on: half-widths, limits, interruption, and independence of threads and
// instruction sets.
#include <atomic>
#include <catch2/catch.hpp>
#include <filesystem>

#include "evaluator/network_file.h"
#include "rollout/rollout.h"
#include "rollout/small_race.h"
#include "rules/start.h"

namespace sixfold {
namespace {

void check_equal(const RolloutResult& a, const RolloutResult& b) {
  REQUIRE(a.plays.size() == b.plays.size());
  for (std::size_t i = 0; i < a.plays.size(); ++i) {
    CHECK(a.plays[i].play == b.plays[i].play);
    CHECK(a.plays[i].trials == b.plays[i].trials);
    CHECK(a.plays[i].outcomes == b.plays[i].outcomes);
    CHECK(a.plays[i].equity == b.plays[i].equity);
    CHECK(a.plays[i].cost == b.plays[i].cost);
    CHECK(a.plays[i].best_probability == b.plays[i].best_probability);
  }
}

Problem first_plays(const Problem& problem, std::ptrdiff_t count) {
  return {problem.position, {problem.plays.begin(), problem.plays.begin() + count}};
}

NetworkFile shipped_net() {
  return load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors");
}

}  // namespace

TEST_CASE("A rollout is the same to the bit on 1, 2 and 7 threads") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.1);
  for (const double half_width : {0.0, 0.01}) {
    RolloutSettings settings = settings_of(144);
    settings.half_width = half_width;
    settings.most_trials = 2000;
    const RolloutResult expected = roll_out(race, problem, settings);
    for (const int threads : {2, 7}) {
      ThreadRunner runner(threads);
      check_equal(roll_out(race, problem, settings, runner), expected);
    }
  }
}

TEST_CASE("A rollout by the net is the same to the bit on any threads and any instruction set") {
  const NetworkFile net = shipped_net();
  const Problem start = first_plays(problem_of(start_position(), "43"), 3);
  const Problem bear_off = first_plays(problem_of("6x4 5x4 4x3 2x2 / bar 22 5x4 4x5 3x2", "62"), 1);
  for (const Problem& problem : {start, bear_off}) {
    RolloutSettings settings = settings_of(36);
    settings.truncate = 14;
    const RolloutResult expected =
        roll_out(NetworkEvaluator(net.networks, InstructionSet::kScalar), problem, settings);
    for (std::size_t i = 0; i < kInstructionSetNames.size(); ++i) {
      const auto level = static_cast<InstructionSet>(i);
      if (!is_available(level)) continue;
      const NetworkEvaluator evaluator(net.networks, level);
      for (const int threads : {2, 7}) {
        ThreadRunner runner(threads);
        check_equal(roll_out(evaluator, problem, settings, runner), expected);
      }
    }
  }
}

TEST_CASE("Seeds give different rollouts, and one seed the same again") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.1);
  const RolloutResult first = roll_out(race, problem, settings_of(36, 5));
  check_equal(roll_out(race, problem, settings_of(36, 5)), first);
  const RolloutResult second = roll_out(race, problem, settings_of(36, 6));
  CHECK(second.plays[0].equity.mean != first.plays[0].equity.mean);
}

TEST_CASE("A play's result does not depend on which others are rolled out beside it") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.1);
  const RolloutResult together = roll_out(race, problem, settings_of(216));
  for (const RolledPlay& play : together.plays) {
    const RolledPlay alone =
        roll_out(race, Problem{problem.position, {play.play}}, settings_of(216)).plays.at(0);
    CHECK(alone.equity == play.equity);
    CHECK(alone.outcomes == play.outcomes);
  }
}

TEST_CASE("A wanted half-width is reached by going on with the contested plays alone") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.02);
  RolloutSettings settings = settings_of(72);
  settings.make_plain();
  settings.half_width = 0.03;
  const RolloutResult result = roll_out(race, problem, settings);
  CHECK_FALSE(result.interrupted);
  const std::uint64_t most = result.plays[0].trials;
  CHECK(most > 72);
  CHECK(most < settings.most_trials);
  int dropped = 0;
  for (const RolledPlay& play : result.plays) {
    INFO(play.trials << " trials, cost " << play.cost.mean << " +- " << play.cost.half_width);
    CHECK(play.trials <= most);
    if (play.at_least) {
      ++dropped;
      CHECK(play.trials >= 36);
      CHECK(play.trials < most);
    } else {
      CHECK(play.trials == most);
      CHECK(play.cost.half_width <= 0.03);
    }
  }
  CHECK(dropped > 0);
  // The rounds before the last did not do.
  const RolloutResult shorter = [&] {
    RolloutSettings fixed = settings_of(most / 2);
    fixed.make_plain();
    return roll_out(race, problem, fixed);
  }();
  CHECK(shorter.plays[1].cost.half_width > 0.03);
}

TEST_CASE("Going on gives what the same number of trials gives at once") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.1);
  RolloutSettings settings = settings_of(72);
  settings.make_plain();
  settings.half_width = 0.05;
  const RolledPlay best = roll_out(race, problem, settings).plays[0];
  CHECK(best.trials > 72);
  settings.trials = best.trials;
  settings.half_width = 0.0;
  const RolloutResult at_once = roll_out(race, Problem{problem.position, {best.play}}, settings);
  CHECK(at_once.plays[0].equity.mean == best.equity.mean);
  CHECK(at_once.plays[0].equity.standard_error == best.equity.standard_error);
  // Half-widths are longer for having been looked at, first after 12 blocks.
  CHECK(best.equity.half_width ==
        Approx(at_once.plays[0].equity.half_width * (1.0 + 0.5 / 12.0)).epsilon(1e-12));
}

TEST_CASE("A half-width that is reached at once adds no trials") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.02);
  RolloutSettings settings = settings_of(72);
  settings.half_width = 1.0;
  const RolloutResult result = roll_out(race, problem, settings);
  for (const RolledPlay& play : result.plays) {
    // Of plays that are set aside the second half is told.
    CHECK(play.trials == (play.at_least ? 36 : 72));
  }
}

TEST_CASE("A half-width out of reach ends at the limit") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.1);
  RolloutSettings settings = settings_of(36);
  settings.make_plain();
  settings.half_width = 1e-9;
  settings.most_trials = 500;
  const RolloutResult result = roll_out(race, problem, settings);
  CHECK(result.plays[0].trials == 504);
  CHECK_FALSE(result.interrupted);
}

TEST_CASE("A stopped rollout keeps the blocks that all plays have") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position, 0.1);
  for (const int threads : {1, 3}) {
    std::atomic<bool> stop{false};
    const auto stop_early = [&](const RolloutProgress& progress) {
      if (progress.trials_done >= 12 * 6 * problem.plays.size() + 6) stop = true;
    };
    ThreadRunner runner(threads, {&stop, stop_early});
    const RolloutResult result = roll_out(race, problem, settings_of(60000), runner);
    CHECK(result.interrupted);
    REQUIRE(result.plays.size() == problem.plays.size());
    const std::uint64_t trials = result.plays[0].trials;
    CHECK(trials >= 36);
    CHECK(trials < 60000);
    // What is kept is a shorter rollout.
    check_equal(roll_out(race, problem, settings_of(trials)), result);
  }
}

TEST_CASE("A rollout that is stopped before every play has its first trials has no plays") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position);
  std::atomic<bool> stop{true};
  ThreadRunner runner(1, {&stop});
  const RolloutResult result = roll_out(race, problem, settings_of(360), runner);
  CHECK(result.interrupted);
  CHECK(result.plays.empty());
}

TEST_CASE("Progress counts up to all trials planned") {
  const Problem problem = six_plays();
  const SmallRace race(problem.position);
  std::uint64_t last = 0;
  std::uint64_t calls = 0;
  const auto watch = [&](const RolloutProgress& progress) {
    ++calls;
    last = progress.trials_done;
    CHECK(progress.trials_planned == 72 * problem.plays.size());
  };
  ThreadRunner runner(1, {nullptr, watch});
  (void)roll_out(race, problem, settings_of(72), runner);
  CHECK(last == 72 * problem.plays.size());
  CHECK(calls == 72 * problem.plays.size());
}

}  // namespace sixfold
