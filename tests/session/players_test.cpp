// Who plays the trials of an engine: its twin's players, and an opponent with a net of his own.
#include <catch2/catch.hpp>
#include <filesystem>
#include <thread>

#include "session/core.h"
#include "session/sixfold.h"

namespace sixfold {
namespace {

std::filesystem::path net() { return std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors"; }

/// Keeps the last state, and goes on from it.
class KeepsOne final : public StateKeeper {
 public:
  void take_up(RolloutState& state) override {
    if (!saved.empty()) state = RolloutState::load(state.plan(), saved, "what was kept");
  }
  [[nodiscard]] bool keep(const RolloutState& state) override {
    saved = state.save();
    return true;
  }
  std::string saved{};
};

const Question kOpening64{.after = "31: 8/5 6/5", .dice = "64"};
const Rolling kFew{.trials = 36, .half_width = 0.0};

}  // namespace

TEST_CASE("A twin answers as its engine does, beside it, against its opponent too") {
  const auto other = std::filesystem::path(SIXFOLD_NETS) / "unsplit.safetensors";
  Engine engine({.net = net(), .opponent_net = other, .threads = 1});
  const Question question{.after = "31: 8/5 6/5", .dice = "64"};
  const auto equity_of = [&](Engine& one) {
    return one.rollout(question, {.trials = 36, .half_width = 0.0}).plays().front().equity.mean;
  };
  const double expected = equity_of(engine);
  Engine twin = engine.twin();
  REQUIRE(twin.net() == engine.net());
  REQUIRE(twin.core().identity() == engine.core().identity());
  REQUIRE(twin.core().provenance().opponent_net == engine.core().provenance().opponent_net);
  REQUIRE(twin.core().provenance().opponent_net.starts_with("unsplit/"));
  double found = 0.0;
  std::thread beside([&] { found = equity_of(twin); });
  REQUIRE(equity_of(engine) == expected);
  beside.join();
  REQUIRE(found == expected);
}

TEST_CASE("An opponent by a net of his own is named where he has a part") {
  Engine against({.net = net(), .opponent_net = net(), .threads = 2});
  Engine plain({.net = net(), .threads = 2});
  const RolloutAnswer alone = plain.rollout(kOpening64, kFew);
  const RolloutAnswer both = against.rollout(kOpening64, kFew);
  CHECK(alone.made_by().opponent_net.empty());
  CHECK(both.made_by().opponent_net == plain.net());
  CHECK(against.evaluate(kOpening64).made_by().opponent_net.empty());
  CHECK(against.cube({.after = "31: 8/5 6/5"})->made_by().opponent_net.empty());
  REQUIRE(both.plays().size() == alone.plays().size());
  for (std::size_t i = 0; i < alone.plays().size(); ++i) {
    CHECK(both.plays()[i].play == alone.plays()[i].play);
    CHECK(both.plays()[i].equity.mean == alone.plays()[i].equity.mean);
    CHECK(both.plays()[i].cost.half_width == alone.plays()[i].cost.half_width);
  }
  CHECK_THROWS_WITH(Engine({.net = net(), .opponent_net = "nowhere.safetensors"}),
                    Catch::Contains("nowhere.safetensors"));
}

TEST_CASE("What was kept of a rollout is not gone on with against another opponent") {
  Core alone(EngineOptions{.net = net(), .threads = 1});
  Core against(EngineOptions{.net = net(), .opponent_net = net(), .threads = 1});
  CHECK(alone.identity() != against.identity());
  KeepsOne keeper;
  const auto roll = [&](Core& core) {
    ThreadRunner runner(1, {}, &keeper);
    Question question = kOpening64;
    question.plays = "24/14";
    RolloutQuestion asked{core.decision(question), core.settings(kFew)};
    asked.wanted = wanted_plays(asked.decision, question.plays);
    return core.roll_out(asked, runner).result.plays.size();
  };
  CHECK(roll(alone) == 1);
  CHECK(roll(alone) == 1);
  CHECK_THROWS_WITH(roll(against), Catch::Contains("is of another rollout"));
}

}  // namespace sixfold
