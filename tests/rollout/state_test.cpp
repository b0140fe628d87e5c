// A rollout that is stopped, saved, loaded and gone on with is the one that never stopped, to the
// bit; what was saved is refused where it is damaged or belongs to another rollout.
#include "rollout/state.h"

#include <algorithm>
#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>

#include "base/input_error.h"
#include "evaluator/network_fixtures.h"
#include "exact/bear_off_tables.h"
#include "rollout/rollout.h"
#include "rollout/small_race.h"

namespace sixfold {
namespace {

/// Equal in everything that is told of it, to the bit.
void check_same(const Estimate& a, const Estimate& b) { CHECK(a == b); }

void check_same(const RolledPlay& a, const RolledPlay& b) {
  CHECK(a.play == b.play);
  CHECK(a.trials == b.trials);
  CHECK(a.outcomes == b.outcomes);
  check_same(a.equity, b.equity);
  check_same(a.cost, b.cost);
  CHECK(a.at_least == b.at_least);
  CHECK(a.shares == b.shares);
  CHECK(a.by_roll == b.by_roll);
  CHECK(a.at_least == b.at_least);
  CHECK(a.groups == b.groups);
  CHECK(a.best_probability == b.best_probability);
  REQUIRE(a.cube.has_value() == b.cube.has_value());
  if (!a.cube) return;
  REQUIRE(a.cube->ends.size() == b.cube->ends.size());
  for (std::size_t i = 0; i < a.cube->ends.size(); ++i) {
    check_same(a.cube->ends[i].share, b.cube->ends[i].share);
  }
  check_same(a.cube->added, b.cube->added);
  check_same(a.cube->cubeless_equity, b.cube->cubeless_equity);
}

void check_same(const RolloutResult& a, const RolloutResult& b) {
  CHECK(a.interrupted == b.interrupted);
  REQUIRE(a.plays.size() == b.plays.size());
  for (std::size_t i = 0; i < a.plays.size(); ++i) check_same(a.plays[i], b.plays[i]);
}

/// Plays some blocks only, in an order of its own, and forgets all it knows.
class ForgetfulRunner final : public TrialRunner {
 public:
  [[nodiscard]] bool stopped() const noexcept override { return stopped_; }
  void go_on() { stopped_ = false; }

 private:
  void play(const PlannedTrials& trials, std::span<const BlockRange> ranges,
            RolloutState& state) override {
    ChoiceScratch scratch;
    std::vector<PlayedBlock> played;
    for (const BlockRange& range : ranges) {
      for (std::uint64_t i = 0; i < range.count; ++i) {
        const std::uint64_t block = range.first + i;
        std::array<BlockMeans, kBlockTrials> means;
        std::array<CubeMeans, kBlockTrials> with_cube;
        for (std::uint64_t t = 0; t < kBlockTrials; ++t) {
          means[t] = trials.play(range.start, block * kBlockTrials + t, scratch, &with_cube[t]);
        }
        played.push_back(trials.block_of(range.start, block, means, with_cube));
      }
    }
    // The last ones first, and two of three: the rest is asked for again.
    std::reverse(played.begin(), played.end());
    for (std::size_t i = 0; i < played.size(); ++i) {
      if (played.size() < 3 || i % 3 != 0) state.absorb(played[i]);
      if (i % 5 == 0) state.absorb(played[i]);
    }
    stopped_ = true;
  }

  bool stopped_ = false;
};

/// Saved and loaded.
RolloutState reloaded(const RolloutState& state) {
  const std::string saved = state.save();
  RolloutState loaded = RolloutState::load(state.plan(), saved, "a test");
  CHECK((loaded.save() == saved));
  CHECK(loaded.next() == state.next());
  CHECK(loaded.trials_done() == state.trials_done());
  CHECK(loaded.trials_planned() == state.trials_planned());
  CHECK(loaded.beyond() == state.beyond());
  return loaded;
}

/// Stops at each of its runner's stops, and at each round, to save, load and go on; `times` beyond
/// what was asked for.
RolloutResult with_stops(const RolloutPlan& plan, const TrialPlayers& players,
                         std::uint64_t times = 0) {
  RolloutState state(plan);
  ForgetfulRunner runner;
  int stops = 0;
  while (!state.is_finished() || state.beyond() < times) {
    if (state.is_finished()) {
      state.go_beyond();
      state = reloaded(state);
    }
    runner.go_on();
    runner.run(PlannedTrials(state.plan(), players), state);
    state = reloaded(state);
    // Beyond what was asked for nothing is known in part only.
    if (state.has_result()) {
      CHECK(state.result().interrupted == (!state.is_finished() && state.beyond() == 0));
    }
    ++stops;
  }
  CHECK(stops > 1);
  return state.result();
}

RolloutResult at_once(const RolloutPlan& plan, const TrialPlayers& players, int threads,
                      std::uint64_t times = 0) {
  RolloutState state(plan);
  ThreadRunner runner(threads);
  runner.run(PlannedTrials(state.plan(), players), state);
  for (std::uint64_t i = 0; i < times; ++i) {
    state.go_beyond();
    runner.run(PlannedTrials(state.plan(), players), state);
  }
  CHECK(state.is_finished());
  return state.result();
}

/// On so many threads, stopped after every `every` trials or so.
RolloutResult with_interruptions(const RolloutPlan& plan, const TrialPlayers& players, int threads,
                                 std::uint64_t every) {
  std::string saved = RolloutState(plan).save();
  for (;;) {
    RolloutState state = RolloutState::load(plan, saved, "a test");
    if (state.is_finished()) return state.result();
    std::atomic<bool> stop{false};
    const std::uint64_t until = state.trials_done() + every;
    ThreadRunner runner(threads, {&stop, [&](const RolloutProgress& progress) {
                                    if (progress.trials_done >= until) stop = true;
                                  }});
    runner.run(PlannedTrials(state.plan(), players), state);
    saved = state.save();
  }
}

void check_all_ways(const RolloutPlan& plan, const TrialPlayers& players) {
  const RolloutResult expected = at_once(plan, players, 1);
  REQUIRE(expected.plays.size() == plan.starts.size());
  check_same(with_stops(plan, players), expected);
  for (const int threads : {1, 2, 7}) {
    INFO(threads << " threads");
    check_same(at_once(plan, players, threads), expected);
    check_same(with_interruptions(plan, players, threads, 100), expected);
  }
}

RolloutPlan race_plan(const SmallRace& race, double half_width) {
  const Problem problem = six_plays();
  RolloutSettings settings = settings_of(72, 3);
  settings.half_width = half_width;
  settings.most_trials = 1500;
  if (half_width > 0.0) settings.make_plain();
  return plan_plays(race, problem.position, problem.plays, money_score(), settings);
}

const Evaluator& network() {
  static const NetworkEvaluator kEvaluator(Networks{modest_network(64, 1), modest_network(64, 2)},
                                           best_instruction_set(), bear_off_tables());
  return kEvaluator;
}

RolloutPlan cube_plan(const char* score, double half_width) {
  Problem problem = problem_of("6x3 5x2 4x2 / 6x3 5x2 3", "21");
  problem.plays.resize(3);
  RolloutSettings settings = settings_of(36, 4);
  settings.half_width = half_width;
  settings.most_trials = 216;
  const CubeRules rules(parse_score(score, own_match_equities()), Cube{}, {},
                        bear_off_tables().two_sided);
  return plan_plays(network(), problem.position, problem.plays,
                    parse_score(score, own_match_equities()), settings, rules);
}

}  // namespace

TEST_CASE("A rollout that stops, is saved, loaded and goes on at every round never stopped") {
  const SmallRace race(six_plays().position, 0.1);
  check_all_ways(race_plan(race, 0.0), race);
  const RolloutPlan goes_on = race_plan(race, 0.02);
  const RolloutResult expected = at_once(goes_on, race, 1);
  // What is saved tells which plays have been set aside, and from where on they are told.
  CHECK(std::any_of(expected.plays.begin(), expected.plays.end(),
                    [](const RolledPlay& play) { return play.at_least.has_value(); }));
  check_all_ways(goes_on, race);
}

TEST_CASE("So does one that goes on beyond what was asked for") {
  const SmallRace race(six_plays().position, 0.1);
  const RolloutPlan plan = race_plan(race, 0.04);
  for (const std::uint64_t times : {1u, 2u, 3u}) {
    const RolloutResult expected = at_once(plan, race, 1, times);
    check_same(with_stops(plan, race, times), expected);
    check_same(at_once(plan, race, 3, times), expected);
  }
  check_same(with_stops(cube_plan("money", 0.04), network(), 2),
             at_once(cube_plan("money", 0.04), network(), 1, 2));
}

TEST_CASE("Each time beyond reaches half the half-width, or four times the limit") {
  const SmallRace race(six_plays().position, 0.1);
  const auto goes_beyond = [&](std::uint64_t most, bool reaches) {
    RolloutPlan plan = race_plan(race, 0.04);
    plan.settings.most_trials = most;
    RolloutState state(plan);
    ThreadRunner runner;
    runner.run(PlannedTrials(state.plan(), race), state);
    for (int times = 1; times <= 3; ++times) {
      const std::uint64_t before = state.trials_each();
      state.go_beyond();
      CHECK(state.beyond() == static_cast<std::uint64_t>(times));
      CHECK_FALSE(state.is_finished());
      CHECK_FALSE(state.result().interrupted);
      runner.run(PlannedTrials(state.plan(), race), state);
      CHECK(state.is_finished());
      CHECK(state.trials_each() > before);
      CHECK((*state.widest() <= std::ldexp(0.04, -times)) == reaches);
      if (!reaches) CHECK(state.trials_each() == most << 2 * times);
    }
    return state.result();
  };
  const RolloutResult result = goes_beyond(1'000'000, true);
  // The half-width of the cost of those that go on is what was reached.
  CHECK(std::any_of(result.plays.begin() + 1, result.plays.end(), [](const RolledPlay& play) {
    return !play.at_least && play.cost.half_width > 0.0 && play.cost.half_width <= 0.005;
  }));
  static_cast<void>(goes_beyond(144, false));
}

TEST_CASE("A rollout that is known better than asked for has nothing to do to go beyond") {
  const SmallRace race(six_plays().position, 0.1);
  RolloutState state(race_plan(race, 0.5));
  ThreadRunner runner;
  runner.run(PlannedTrials(state.plan(), race), state);
  REQUIRE(*state.widest() <= 0.25);
  const std::uint64_t trials = state.trials_done();
  state.go_beyond();
  CHECK(state.is_finished());
  CHECK(state.beyond() == 1);
  CHECK(state.next().empty());
  CHECK(reloaded(state).trials_done() == trials);
}

TEST_CASE("So does one with the cube") {
  check_all_ways(cube_plan("money", 0.0), network());
  check_all_ways(cube_plan("money", 0.02), network());
  check_all_ways(cube_plan("3-away/5-away", 0.02), network());
}

TEST_CASE("So does a doubling decision") {
  RolloutSettings settings = settings_of(36, 5);
  settings.half_width = 0.03;
  settings.most_trials = 216;
  const CubeRules rules(money_score(), Cube{}, {}, bear_off_tables().two_sided);
  const Position position = parse_position("6x3 5x2 4x2 / 6x3 5x2 3");
  const RolloutPlan plan = plan_double(network(), position, rules, settings);
  ThreadRunner once;
  const auto expected = roll_out_double(network(), position, rules, settings, once);
  REQUIRE(expected);
  RolloutState state(plan);
  ForgetfulRunner runner;
  while (!state.is_finished()) {
    runner.go_on();
    runner.run(PlannedTrials(state.plan(), network()), state);
    state = RolloutState::load(plan, state.save(), "a test");
  }
  const RolledDouble rolled = state.rolled_double();
  check_same(rolled.no_double, expected->no_double);
  check_same(*rolled.double_take, *expected->double_take);
  check_same(rolled.difference, expected->difference);
  CHECK(rolled.by_roll == expected->by_roll);
}

TEST_CASE("So does one against an opponent who plays by another net") {
  const NetworkEvaluator other(Networks{modest_network(64, 3), modest_network(64, 4)},
                               best_instruction_set(), bear_off_tables());
  TrialPlayers against(network());
  against.opponent = &other;
  check_all_ways(cube_plan("money", 0.02), against);
  check_all_ways(cube_plan("3-away/5-away", 0.0), against);
}

TEST_CASE("A plan that was saved and loaded is the same, down to what comes of it") {
  const auto sent = [](const RolloutPlan& plan) {
    return RolloutPlan::load(plan.save(), own_match_equities(), bear_off_tables().two_sided,
                             "a test");
  };
  const SmallRace race(six_plays().position, 0.1);
  RolloutPlan plain = race_plan(race, 0.02);
  plain.starts[1].is_named = true;
  plain.players = 77;
  CHECK(sent(plain).identity() == plain.identity());
  check_same(at_once(sent(plain), race, 2), at_once(plain, race, 1));
  for (const char* const score : {"money", "3-away/5-away"}) {
    const RolloutPlan plan = cube_plan(score, 0.02);
    check_same(at_once(sent(plan), network(), 2), at_once(plan, network(), 1));
  }
}

TEST_CASE("A saved plan is refused where it is cut off, or would be another one") {
  const RolloutPlan plan = cube_plan("3-away/5-away", 0.02);
  const auto load = [](const std::string& bytes, const MatchEquityTable& table) {
    return RolloutPlan::load(bytes, table, bear_off_tables().two_sided, "a test");
  };
  const std::string saved = plan.save();
  CHECK_NOTHROW(load(saved, own_match_equities()));
  CHECK_THROWS_AS(load(saved.substr(0, saved.size() - 1), own_match_equities()), InputError);
  CHECK_THROWS_AS(load(saved + '\0', own_match_equities()), InputError);
  // At another table's chances the cube is worth something else.
  MatchModel model = kMatchModel;
  model.gammon_share = 0.2;
  CHECK_THROWS_AS(load(saved, MatchEquityTable(model)), InputError);
}

TEST_CASE("A rollout of more blocks than are handed out at a time is saved and loaded as well") {
  Problem problem = six_plays();
  problem.plays.resize(2);
  const SmallRace race(problem.position, 0.1);
  RolloutSettings settings = settings_of(9000 * kBlockTrials);
  settings.make_plain();
  const RolloutPlan plan =
      plan_plays(race, problem.position, problem.plays, money_score(), settings);
  check_same(with_interruptions(plan, race, 2, 20'000), at_once(plan, race, 1));
}

TEST_CASE("A state asks for what is missing, and for nothing when it is finished") {
  const SmallRace race(six_plays().position, 0.1);
  RolloutPlan plan = race_plan(race, 0.0);
  plan.starts.resize(2);
  RolloutState state(plan);
  CHECK(state.next() == std::vector<BlockRange>{{0, 0, 12}, {1, 0, 12}});
  CHECK(state.trials_planned() == 144);
  CHECK(state.trials_done() == 0);
  CHECK(state.result().plays.empty());
  for (const std::uint64_t block : {3u, 4u, 3u}) state.absorb({0, block, {}});
  CHECK(state.next() == std::vector<BlockRange>{{0, 0, 3}, {0, 5, 7}, {1, 0, 12}});
  CHECK(state.trials_done() == 12);
  state.absorb({0, 12, {}});
  state.absorb({7, 0, {}});
  CHECK(state.trials_done() == 12);
  for (std::uint64_t block = 0; block < 12; ++block) {
    for (const std::size_t start : {0u, 1u}) state.absorb({start, block, {}});
  }
  CHECK(state.is_finished());
  CHECK(state.next().empty());
  CHECK(state.trials_done() == 144);
}

TEST_CASE("A saved state is refused where it is damaged, cut off, or of another rollout") {
  const SmallRace race(six_plays().position, 0.1);
  const RolloutPlan plan = race_plan(race, 0.0);
  RolloutState state(plan);
  ForgetfulRunner runner;
  runner.run(PlannedTrials(state.plan(), race), state);
  const std::string saved = state.save();
  const auto load = [&](const RolloutPlan& other, std::string_view bytes) {
    return RolloutState::load(other, bytes, "saved.state");
  };
  for (std::size_t at = 0; at < saved.size(); at += 97) {
    std::string damaged = saved;
    damaged[at] = static_cast<char>(damaged[at] ^ 4);
    CHECK_THROWS_AS(load(plan, damaged), InputError);
  }
  for (std::size_t size = 0; size < saved.size(); size += 101) {
    CHECK_THROWS_AS(load(plan, std::string_view(saved).substr(0, size)), InputError);
  }
  CHECK_THROWS_AS(load(plan, saved + "x"), InputError);
  RolloutPlan other = plan;
  ++other.settings.seed;
  CHECK_THROWS_WITH(load(other, saved),
                    Catch::Contains("saved.state") && Catch::Contains("of another rollout"));
  other = plan;
  other.players = 1;
  CHECK_THROWS_WITH(load(other, saved), Catch::Contains("of another rollout"));
  other = plan;
  other.worth[0] = -2.0;
  CHECK_THROWS_WITH(load(other, saved), Catch::Contains("of another rollout"));
  CHECK_NOTHROW(load(plan, saved));
}

}  // namespace sixfold
