// The front door: questions as texts, answers as numbers, and what made them.
#include <algorithm>
#include <atomic>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <locale>
#include <mutex>

#include "rules/notation.h"
#include "session/core.h"
#include "session/sixfold.h"

namespace sixfold {
namespace {

std::filesystem::path net() { return std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors"; }

Engine& engine() {
  static Engine kEngine({.net = net(), .threads = 2});
  return kEngine;
}

const Question kOpening64{.after = "31: 8/5 6/5", .dice = "64"};
const Rolling kFew{.trials = 36, .half_width = 0.0};

}  // namespace

TEST_CASE("Static values of a roll are those of every legal play, best first") {
  const EvaluationAnswer answer = engine().evaluate(kOpening64);
  const std::vector<PlayAnswer> plays = answer.plays();
  REQUIRE(plays.size() > 5);
  CHECK(plays[0].cost == 0.0);
  for (std::size_t i = 0; i < plays.size(); ++i) {
    double sum = 0.0;
    for (const double probability : plays[i].outcomes) sum += probability;
    CHECK(sum == Approx(1.0));
    CHECK(plays[i].cost == Approx(plays[0].equity - plays[i].equity).margin(1e-12));
    CHECK_NOTHROW(parse_position(plays[i].result));
  }
  CHECK(answer.made_by().net == engine().net());
  CHECK(answer.made_by().net.starts_with("standard/"));
  CHECK_FALSE(Engine::version().empty());
}

TEST_CASE("Before the dice the answer is the position's own") {
  const EvaluationAnswer answer = engine().evaluate({.position = "6x2 / 1", .cube = "none"});
  CHECK(answer.plays().empty());
  // Double threes, fours, fives and sixes bear both checkers off; after any other roll the opponent
  // bears off his last one.
  CHECK(answer.outcomes()[3] == Approx(4.0 / 36.0));
  CHECK(answer.equity() == Approx(8.0 / 36.0 - 1.0));
}

TEST_CASE("A rollout takes luck out by the net's luck networks when nobody says otherwise") {
  const RolloutAnswer answer = engine().rollout(kOpening64, kFew);
  CHECK(answer.study().settings.luck == LuckControl::kEstimated);
  CHECK(answer.made_by().rolling.trials == 36);
  CHECK_FALSE(answer.interrupted());
  const std::vector<RolledPlayAnswer> plays = answer.plays();
  REQUIRE(plays.size() > 5);
  for (const RolledPlayAnswer& play : plays) {
    CHECK(play.trials == 36);
    CHECK(play.equity.half_width > 0.0);
    CHECK(play.equity.half_width < 1.0);
  }
  Rolling full = kFew;
  full.luck = "none";
  CHECK(engine().core().settings(full).luck == LuckControl::kNone);
  full.luck = "some";
  CHECK_THROWS_WITH(engine().core().settings(full), Catch::Contains("luck"));
}

TEST_CASE("Precision is the default: a floor, then on until costs are known") {
  const Rolling usual;
  CHECK(usual.trials == 144);
  CHECK(usual.half_width == 0.01);
  CHECK(usual.most_trials == 57600);
  CHECK_FALSE(usual.error);
  CHECK_FALSE(usual.blunder);
  CHECK(RolloutSettings{}.trials == 600);
}

TEST_CASE("Plays that are wanted are rolled out alone and none of them is set aside") {
  Question question = kOpening64;
  question.plays = "24/14; 6/2 6/off";
  CHECK_THROWS_WITH(engine().rollout(question, kFew), Catch::Contains("6/off"));
  question.plays = "24/14; 14/10 24/18; 24/14";
  CHECK_THROWS(engine().rollout(question, kFew));
  question.plays = "24/14; 24/14";
  CHECK_THROWS_WITH(engine().rollout(question, kFew), Catch::Contains("twice"));
  // Two that may be best and one far behind.
  question.plays = "24/14; 24/18 13/9; 8/2 8/4";
  const Rolling rolling{.trials = 72, .half_width = 1e-6, .most_trials = 144, .truncate = 4};
  const std::vector<RolledPlayAnswer> plays = engine().rollout(question, rolling).plays();
  REQUIRE(plays.size() == 3);
  for (const RolledPlayAnswer& play : plays) {
    CHECK_FALSE(play.at_least);
    CHECK(play.trials == plays.front().trials);
  }
  CHECK(plays.back().play == "8/2 8/4");
  question.plays.clear();
  const std::vector<RolledPlayAnswer> all = engine().rollout(question, rolling).plays();
  CHECK(all.size() > 3);
  CHECK(std::any_of(all.begin(), all.end(),
                    [](const RolledPlayAnswer& play) { return play.at_least.has_value(); }));
}

TEST_CASE("The same question has the same answer to the bit on any number of threads") {
  Engine alone({.net = net(), .threads = 1});
  const auto one = alone.rollout(kOpening64, kFew).plays();
  const auto two = engine().rollout(kOpening64, kFew).plays();
  REQUIRE(one.size() == two.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    CHECK(one[i].play == two[i].play);
    CHECK(one[i].equity.mean == two[i].equity.mean);
    CHECK(one[i].cost.half_width == two[i].cost.half_width);
  }
}

TEST_CASE("A rollout can be watched and stopped") {
  std::atomic<bool> stop{false};
  std::atomic<std::uint64_t> seen{0};
  const auto progress = [&](const WorkProgress& at) {
    CHECK(at.trials_done <= at.trials_expected);
    CHECK(at.rollout == 0);
    CHECK_FALSE(at.half_width);
    seen = at.trials_done;
    stop = true;
  };
  const RolloutAnswer answer = engine().rollout(kOpening64, kFew, {&stop, progress});
  CHECK(answer.interrupted());
  CHECK(answer.plays().empty());
  CHECK(seen > 0);
}

TEST_CASE("Whoever watches is told how well costs are known and how many trials are to come") {
  std::mutex mutex;
  std::vector<WorkProgress> seen;
  const auto progress = [&](const WorkProgress& at) {
    const std::lock_guard lock(mutex);
    seen.push_back(at);
  };
  const Rolling to_a_point{.trials = 36, .half_width = 0.06, .most_trials = 720};
  const RolloutAnswer answer = engine().rollout(kOpening64, to_a_point, {nullptr, progress});
  REQUIRE_FALSE(seen.empty());
  std::uint64_t trials = 0;
  for (const RolledPlayAnswer& play : answer.plays()) trials += play.trials;
  // Before the first look nothing is known; a look that is not the last asks for more.
  CHECK_FALSE(seen.front().half_width);
  REQUIRE(seen.back().half_width);
  CHECK(*seen.back().half_width > 0.06);
  // Of plays that are set aside only some trials are told.
  CHECK(seen.size() >= trials);
  CHECK(std::any_of(seen.begin(), seen.end(),
                    [&](const WorkProgress& at) { return at.trials_done == seen.size(); }));
  for (const WorkProgress& at : seen) CHECK(at.trials_expected >= at.trials_done);
}

TEST_CASE("A position may be given with all points numbered the roller's way") {
  const auto plays = engine().evaluate({.position = "24x2 13x5 8x3 6x5 / 1x2 12x5 17x3 19x5",
                                        .dice = "31",
                                        .both_from_roller = true});
  CHECK(plays.plays()[0].play == "8/5 6/5");
  CHECK_THROWS_WITH(engine().evaluate({.after = "31: 8/5 6/5", .both_from_roller = true}),
                    Catch::Contains("own numbers"));
}

TEST_CASE("Where the cube is said to be left out there is no doubling decision") {
  CHECK_NOTHROW(engine().evaluate({.after = "31: 8/5 6/5", .cube = "none"}));
  CHECK_THROWS_WITH(engine().cube({.after = "31: 8/5 6/5", .cube = "none"}),
                    Catch::Contains("no cube"));
}

TEST_CASE("Without a word of it the cube is in the middle where somebody may double") {
  const auto cube_of = [](const char* score) {
    return engine().core().decision({.after = "31: 8/5 6/5", .score = score}).cube;
  };
  CHECK(cube_of("money") == Cube{});
  CHECK(cube_of("3-away/5-away") == Cube{});
  CHECK_FALSE(cube_of("dmp"));
  CHECK_FALSE(cube_of("gammon-go"));
  const auto plays = engine().evaluate(kOpening64).plays();
  const auto cubeless =
      engine().evaluate({.after = "31: 8/5 6/5", .dice = "64", .cube = "none"}).plays();
  CHECK(plays[0].equity != plays[0].cubeless_equity);
  CHECK(cubeless[0].equity == cubeless[0].cubeless_equity);
  CHECK(plays[0].cubeless_equity == cubeless[0].equity);
  CHECK(
      engine().evaluate({.after = "31: 8/5 6/5", .dice = "64", .score = "dmp"}).plays()[0].equity ==
      engine()
          .evaluate({.after = "31: 8/5 6/5", .dice = "64", .score = "dmp"})
          .plays()[0]
          .cubeless_equity);
  const RolledPlayAnswer rolled = engine().rollout(kOpening64, kFew).plays()[0];
  CHECK(rolled.cubeless_equity.mean != rolled.equity.mean);
  CHECK(rolled.cubeless_equity.half_width > 0.0);
  // That nobody may double is an answer too.
  const auto dead = engine().cube({.after = "31: 8/5 6/5", .score = "dmp"});
  REQUIRE(dead);
  CHECK_FALSE(dead->double_take());
}

TEST_CASE("A doubling decision is answered by the model, exactly, or by a rollout") {
  const auto by_model = engine().cube({.after = "31: 8/5 6/5"});
  REQUIRE(by_model);
  CHECK(by_model->action() == "no double");
  CHECK(by_model->study().decision.cube == Cube{});
  // Published: Jacoby & Crawford, The Backgammon Book, 1970, recomputed exactly.
  const auto exact = engine().cube({.position = "6x3 / 6x3"});
  REQUIRE(exact);
  CHECK(exact->study().is_exact);
  CHECK(*exact->double_take() == Approx(.751454).margin(1e-4));
  const auto rolled = engine().cube({.after = "31: 8/5 6/5"}, kFew);
  REQUIRE(rolled);
  CHECK(rolled->study().rolled.has_value());
}

TEST_CASE("A lesson has a cell for each roll at each score") {
  const LessonAnswer answer =
      engine().lesson({{.after = "31: 8/5 6/5"}, {"64", "21"}, {"money", "dmp"}}, kFew);
  const auto cells = answer.cells();
  REQUIRE(cells.size() == 4);
  CHECK(cells[1].roll == "64");
  CHECK(cells[1].score == "dmp");
  CHECK(cells[2].roll == "21");
  CHECK_FALSE(answer.interrupted());
  const auto alone = engine().rollout(kOpening64, kFew).plays();
  CHECK(cells[0].plays[0].equity.mean == alone[0].equity.mean);
}

TEST_CASE("What cannot be asked is refused with the reason and the place") {
  CHECK_THROWS_WITH(engine().evaluate({.dice = "64"}), Catch::Contains("no position"));
  CHECK_THROWS_WITH(engine().evaluate({.position = "6 / 19", .dice = "64"}),
                    Catch::Contains("position"));
  CHECK_THROWS_WITH(engine().rollout({.after = "31: 8/5 6/5"}), Catch::Contains("roll"));
  CHECK_THROWS_WITH(engine().evaluate({.after = "31: 8/5 6/5", .score = "3away"}),
                    Catch::Contains("3away"));
  CHECK_THROWS_WITH(Engine(EngineOptions{}), Catch::Contains("no network file"));
  CHECK_THROWS_WITH(Engine({.net = "there-is-no-such-file"}), Catch::Contains("no such file"));
  CHECK_THROWS_WITH(Engine({.net = net(), .instruction_set = "mmx"}), Catch::Contains("mmx"));
}

TEST_CASE("Many positions are evaluated at once as each is alone") {
  std::vector<std::string> positions;
  for (int i = 0; i < 300; ++i) {
    for (const char* text : {"24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "6x2 / 1", "bar 6x3 / 4x2"}) {
      positions.emplace_back(text);
    }
  }
  const std::vector<SixOutcomes> all = engine().distributions(positions);
  REQUIRE(all.size() == positions.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    CHECK(all[i] == engine().evaluate({.position = positions[i]}).outcomes());
  }
  CHECK(engine().distributions({}).empty());
  // A game of few checkers is solved, so that the checkers a side matter.
  const std::vector<std::string> one{"24 / 24"};
  CHECK(engine().distributions(one, 1)[0] ==
        engine().evaluate({.position = "24 / 24", .checkers = 1}).outcomes());
  positions[7] = "6 / 19";
  CHECK_THROWS_WITH(engine().distributions(positions), Catch::Contains("positions[7], position"));
}

TEST_CASE(
    "The legal plays of a roll are listed with their results, and one is found by its words") {
  const std::vector<LegalPlay> plays = engine().legal_plays(kOpening64);
  CHECK(plays.size() == engine().evaluate(kOpening64).plays().size());
  for (const LegalPlay& play : plays) {
    CHECK(engine().play(kOpening64, play.play).result == play.result);
  }
  CHECK(engine().play(kOpening64, "13/9 24/18").play == "24/18 13/9");
  CHECK(engine().play(kOpening64, "24/18 13/9").result ==
        "24x2 13x5 8x2 6x4 5x2 / 24 18 13x4 9 8x3 6x5");
  CHECK_THROWS_WITH(engine().play(kOpening64, "24/13"), Catch::Contains("24/14"));
  CHECK_THROWS_WITH(engine().legal_plays({.after = "31: 8/5 6/5"}), Catch::Contains("no roll"));
  const auto none =
      engine().legal_plays({.position = "bar / 6x2 5x2 4x2 3x2 2x2 1x2", .dice = "64"});
  REQUIRE(none.size() == 1);
  CHECK(none[0].play == "no play");
  CHECK(Engine::api_version() == kApiVersion);
}

TEST_CASE("Scores are those of the match equity table that the engine was given") {
  const auto path = std::filesystem::temp_directory_path() / "sixfold_engine_test_table.csv";
  std::ofstream(path) << "away,1,2,3\n1,.5,.7,.8\n2,.3,.5,.6\n3,.2,.4,.5\n";
  Engine other({.net = net(), .match_table = path, .race_points = 0});
  const Decision decision =
      other.core().decision({.after = "31: 8/5 6/5", .score = "2-away/3-away"});
  CHECK(decision.score.match->after_single_win == Approx(.8));
  CHECK_THROWS_WITH(other.evaluate({.after = "31: 8/5 6/5", .score = "4-away/3-away"}),
                    Catch::Contains("4-away is not in the table"));
  std::filesystem::remove(path);
}

TEST_CASE(
    "However many scores are asked about, few solved games are kept, and all answers are right") {
  Core core({.net = net(), .threads = 1, .race_points = 0});
  const auto equity = [&](int away) {
    return core
        .evaluate(core.decision({.position = "2 / 24",
                                 .score = std::to_string(away) + "-away/9-away",
                                 .cube = "none",
                                 .checkers = 1}))
        .equity;
  };
  std::vector<double> first;
  for (int round = 0; round < 2; ++round) {
    for (int away = 2; away <= 25; ++away) {
      for (const char* const cube : {"none", "roller:2", "opponent:4"}) {
        static_cast<void>(
            core.evaluate(core.decision({.position = "24 / 24",
                                         .score = std::to_string(away) + "-away/5-away",
                                         .cube = cube,
                                         .checkers = 1})));
      }
      if (round == 0) first.push_back(equity(away));
      CHECK(equity(away) == first[static_cast<std::size_t>(away - 2)]);
      REQUIRE(core.solved_games() <= Core::kMostSolved);
    }
  }
  CHECK(core.solved_games() == Core::kMostSolved);
}

TEST_CASE("A program's locale leaves answers as they are") {
  class Commas final : public std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
  };
  const auto before =
      engine().evaluate({.after = "31: 8/5 6/5", .dice = "64", .score = "3-away/5-away"}).plays();
  const std::locale usual = std::locale::global(std::locale(std::locale(), new Commas));
  const auto after =
      engine().evaluate({.after = "31: 8/5 6/5", .dice = "64", .score = "3-away/5-away"}).plays();
  std::locale::global(usual);
  REQUIRE(after.size() == before.size());
  for (std::size_t i = 0; i < before.size(); ++i) {
    CHECK(after[i].play == before[i].play);
    CHECK(after[i].equity == before[i].equity);
  }
}

}  // namespace sixfold
