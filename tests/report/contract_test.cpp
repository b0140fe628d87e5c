// The forms of the JSON reports that other programs rely on: fields, their order, their ranges.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "report/json/json_report.h"
#include "report/test_telling.h"
#include "report/words/names.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "study/instruments_of.h"

namespace sixfold {
namespace {

using Json = nlohmann::ordered_json;
using Names = std::vector<std::string>;

const Names kOutcomes{"lose_backgammon", "lose_gammon", "lose_single",
                      "win_single",      "win_gammon",  "win_backgammon"};

/// The caller's name for a decision.
constexpr const char* kId = "{\"lesson\":3}";

Names names_of(const Json& object) {
  Names names;
  for (const auto& [name, value] : object.items()) names.push_back(name);
  return names;
}

Decision decision_at(const char* score, const char* dice) {
  Decision decision{parse_position("6 5 3 / 6 4 2", 3), std::nullopt,
                    parse_score(score, own_match_equities())};
  if (dice != nullptr) decision.roll = parse_roll(dice);
  return decision;
}

Json evaluation_at(const char* score, const char* dice) {
  const Decision decision = decision_at(score, dice);
  const SmallRace race(decision.position);
  return Json::parse(evaluation_json(evaluate_decision(race, decision), kTelling, {kId}));
}

RolledDecision rolled_at(const char* score, const RolloutSettings& settings,
                         const GradeBounds& grades = {}) {
  const Decision decision = decision_at(score, "21");
  const SmallRace race(decision.position, 0.1);
  return roll_out_decision(instruments_of(race), decision, settings, grades);
}

Json rollout_at(const char* score, const RolloutSettings& settings,
                const GradeBounds& grades = {}) {
  return Json::parse(rollout_json(rolled_at(score, settings, grades), kTelling, {kId, "Why?"}));
}

}  // namespace

TEST_CASE("The JSON of a position before the dice has its outcomes at the top level") {
  const Json json = evaluation_at("money", nullptr);
  CHECK(names_of(json) == Names{"schema", "id", "position", "score", "cube", "net", "outcomes",
                                "equity", "cubeless_equity", "method"});
  CHECK(json["schema"] == "sixfold.evaluation/3");
  CHECK(json["cube"] == "none");
  CHECK(json["id"]["lesson"] == 3);
  CHECK(json["position"] == "6 5 3 / 6 4 2");
  CHECK(names_of(json["outcomes"]) == kOutcomes);
  const SmallRace race(parse_position("6 5 3 / 6 4 2", 3));
  CHECK(json["outcomes"]["win_gammon"].get<double>() ==
        Approx(race.truth(parse_position("6 5 3 / 6 4 2", 3))[4]));
}

TEST_CASE("The JSON of a roll lists the plays, best first, with result, cost and method") {
  const Json json = evaluation_at("gammon-save", "21");
  CHECK(names_of(json) ==
        Names{"schema", "id", "position", "dice", "score", "cube", "net", "plays"});
  CHECK(json["dice"] == "21");
  CHECK(json["score"] == "gammon-save");
  const double best = json["plays"][0]["equity"].get<double>();
  int rank = 0;
  double before = best;
  for (const Json& play : json["plays"]) {
    CHECK(names_of(play) == Names{"rank", "play", "result", "cost", "outcomes", "equity",
                                  "cubeless_equity", "match_winning_chance", "method"});
    CHECK(play["cubeless_equity"] == play["equity"]);
    CHECK(names_of(play["outcomes"]) == kOutcomes);
    CHECK(play["rank"] == ++rank);
    CHECK(play["equity"].get<double>() <= before);
    CHECK(play["cost"].get<double>() == Approx(best - play["equity"].get<double>()).margin(1e-12));
    // Losing a single game is worth one half here, winning any game one.
    CHECK(play["match_winning_chance"].get<double>() ==
          Approx(0.75 + 0.25 * play["equity"].get<double>()));
    before = play["equity"].get<double>();
    const Position position = parse_position("6 5 3 / 6 4 2", 3);
    const PlayKey key = parse_play(position, parse_roll("21"), play["play"].get<std::string>());
    CHECK(play["result"] == position_text(position_after(position, key)));
  }
  CHECK(rank > 2);
}

TEST_CASE("Numbers of an evaluation are read back to the last bit") {
  const Decision decision = decision_at("gammon-save", "21");
  const SmallRace race(decision.position, 0.1);
  const Evaluation evaluation = evaluate_decision(race, decision);
  const Json json = Json::parse(evaluation_json(evaluation, kTelling));
  for (std::size_t i = 0; i < evaluation.plays.size(); ++i) {
    const EvaluatedPlay& play = evaluation.plays[i];
    const Json& told = json["plays"][i];
    CHECK(told["rank"] == i + 1);
    CHECK(told["equity"].is_number_float());
    CHECK(told["equity"].get<double>() == play.equity);
    CHECK(told["cost"].is_number_float());
    CHECK(told["cost"].get<double>() == play.cost);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      CHECK(told["outcomes"][kOutcomeFields[o]].get<double>() == play.outcomes[o]);
    }
  }
}

TEST_CASE("A play that ends the game is exact, the others are the net's") {
  const Decision decision{parse_position("2 1 / 5 4 3", 3), parse_roll("21"), money_score()};
  const SmallRace race(decision.position);
  const Evaluation evaluation = evaluate_decision(race, decision);
  REQUIRE(evaluation.plays.size() > 1);
  CHECK(evaluation.plays.front().method == Method::kExact);
  CHECK(evaluation.plays.front().equity == 2.0);
  CHECK(evaluation.plays.back().method == Method::kNetwork);
}

TEST_CASE("The JSON of a rollout has the fields of the contract in its order") {
  RolloutSettings settings = settings_of(72, 9);
  const Json json = rollout_at("money", settings);
  CHECK(names_of(json) == Names{"schema", "id", "title", "position", "dice", "score", "cube", "net",
                                "seed", "settings", "plays", "seconds"});
  CHECK(json["schema"] == "sixfold.rollout/3");
  CHECK(json["title"] == "Why?");
  CHECK(json["cube"] == "none");
  CHECK(json["settings"]["luck"] == "full");
  CHECK(json["seed"] == 9);
  CHECK(json["settings"]["trials"] == 72);
  int rank = 0;
  for (const Json& play : json["plays"]) {
    CHECK(names_of(play) == Names{"rank", "play", "result", "trials", "outcomes", "equity",
                                  "cubeless_equity", "cost", "best_probability", "verdict"});
    CHECK(play["cubeless_equity"] ==
          Json{{"mean", play["equity"]["mean"]}, {"half_width", play["equity"]["half_width"]}});
    CHECK(names_of(play["outcomes"]) == kOutcomes);
    CHECK(names_of(play["outcomes"]["win_gammon"]) == Names{"mean", "half_width"});
    CHECK(names_of(play["equity"]) == Names{"mean", "standard_error", "half_width"});
    CHECK(names_of(play["cost"]) == Names{"mean", "half_width"});
    CHECK(play["rank"] == ++rank);
    CHECK(play["trials"] == 72);
    // Student's t with 11 degrees of freedom at 95%: 2.201 (from memory).
    // Longer where a mean below zero has been settled, which moves equity.
    const double by_student = 2.201 * play["equity"]["standard_error"].get<double>();
    CHECK(play["equity"]["half_width"].get<double>() >= 0.999 * by_student);
    CHECK(play["equity"]["half_width"].get<double>() <= 1.2 * by_student);
  }
  CHECK(json["plays"][0]["verdict"] == "best");
}

TEST_CASE("Match-winning chance stands beside a rollout's equity at match scores only") {
  const Json money = rollout_at("money", settings_of(36));
  CHECK_FALSE(money["plays"][0].contains("match_winning_chance"));
  const Json dmp = rollout_at("dmp", settings_of(36));
  const Json& play = dmp["plays"][0];
  REQUIRE(names_of(play["match_winning_chance"]) == Names{"mean", "half_width"});
  CHECK(play["match_winning_chance"]["mean"].get<double>() ==
        Approx(0.5 + 0.5 * play["equity"]["mean"].get<double>()));
  CHECK(play["match_winning_chance"]["half_width"].get<double>() ==
        Approx(0.5 * play["equity"]["half_width"].get<double>()));
}

TEST_CASE("Nothing is graded in JSON but by the bounds asked for") {
  const auto grades = [](const GradeBounds& bounds) {
    const Json json = rollout_at("money", settings_of(3600), bounds);
    std::map<std::string, int> counts;
    for (const Json& play : json["plays"]) {
      ++counts[play["verdict"].get<std::string>()];
      if (play.contains("grade")) ++counts[play["grade"].get<std::string>()];
    }
    return counts;
  };
  const auto plain = grades({});
  CHECK(plain.at("best") == 1);
  CHECK(plain.at("worse") > 0);
  CHECK(plain.count("error") + plain.count("blunder") == 0);
  CHECK(grades({10.0, 20.0}) == plain);
  CHECK(grades({1e-9, 2e-9}).at("blunder") == plain.at("worse"));
  CHECK(grades({1e-9, 10.0}).at("error") == plain.at("worse"));
}

TEST_CASE("With the cube JSON has it, the cubeless equity, and how the equity was found") {
  Decision decision = decision_at("3-away/5-away", nullptr);
  decision.cube = Cube{2, CubeOwner::kRoller};
  const SmallRace race(decision.position, 0.1);
  const Evaluation before = evaluate_decision(race, decision);
  const Json json = Json::parse(evaluation_json(before, kTelling));
  CHECK(json["cube"] == Json{{"value", 2}, {"owner", "roller"}});
  CHECK(json["equity"] == before.equity);
  CHECK(json["cubeless_equity"] == before.cubeless_equity);
  CHECK(before.equity > before.cubeless_equity);
  CHECK(json["equity_method"] == "model");
  decision.roll = parse_roll("21");
  const Evaluation plays = evaluate_decision(race, decision);
  const Json listed = Json::parse(evaluation_json(plays, kTelling))["plays"];
  for (std::size_t i = 0; i < listed.size(); ++i) {
    CHECK(listed[i]["equity"] == plays.plays[i].equity);
    CHECK(listed[i]["cubeless_equity"] == plays.plays[i].cubeless_equity);
    CHECK(listed[i]["equity_method"] == "model");
  }
  const RolledDecision rolled = roll_out_decision(instruments_of(race), decision, settings_of(36));
  const Json play = Json::parse(rollout_json(rolled, kTelling))["plays"][0];
  CHECK(play["cubeless_equity"]["mean"] == cubeless_equity(rolled.result.plays[0]).mean);
  CHECK(play["cubeless_equity"] != play["equity"]);
}

TEST_CASE("A play that was set aside has a bound for its cost in JSON") {
  RolledDecision rolled = rolled_at("money", settings_of(36));
  rolled.result.plays.back().at_least = 0.5;
  const Json play = Json::parse(rollout_json(rolled, kTelling))["plays"].back();
  CHECK(names_of(play["cost"]) == Names{"at_least"});
  CHECK(play["cost"]["at_least"] == 0.5);
  CHECK(names_of(play["equity"]) == Names{"mean", "standard_error", "half_width"});
  CHECK(names_of(play["outcomes"]) == kOutcomes);
}

TEST_CASE(
    "A doubling decision in JSON has its chances at a match score, and estimates with errors") {
  Decision decision = decision_at("3-away/5-away", nullptr);
  decision.cube = Cube{};
  const SmallRace race(decision.position, 0.1);
  const auto study = roll_out_cube(instruments_of(race), decision, settings_of(36));
  REQUIRE(study);
  const Json json = Json::parse(cube_json(*study, kMadeBy));
  CHECK(json["schema"] == "sixfold.cube/2");
  CHECK(json["outcomes"]["win_gammon"].is_number());
  CHECK(names_of(json["match_winning_chance"]) == Names{"no_double", "double_take", "double_pass"});
  // A pass wins the game: the table's own chance.
  CHECK(json["match_winning_chance"]["double_pass"].get<double>() ==
        Approx(own_match_equities().chance(2, 5)));
  for (const char* action : {"no_double", "double_take"}) {
    const Json& rolled = json["rollout"][action];
    CHECK(names_of(rolled["outcomes"]["win_gammon"]) == Names{"mean", "half_width"});
    CHECK(names_of(rolled["match_winning_chance"]) == Names{"mean", "half_width"});
    CHECK(rolled["match_winning_chance"]["mean"].get<double>() ==
          Approx(json["match_winning_chance"][action].get<double>()).margin(1e-3));
  }
}

TEST_CASE("What is odd about a position stands in its JSON, and nothing where nothing is") {
  CHECK_FALSE(evaluation_at("money", nullptr).contains("warnings"));
  const Decision odd{parse_position("24 6 / 6 4 2"), std::nullopt, money_score()};
  Evaluation evaluation;
  evaluation.decision = odd;
  const Json json = Json::parse(evaluation_json(evaluation, kTelling));
  REQUIRE(json["warnings"].size() == 1);
  CHECK_THAT(json["warnings"][0].get<std::string>(), Catch::Contains("2 of 15"));
}

TEST_CASE("An interrupted rollout says so") {
  RolledDecision rolled = rolled_at("money", settings_of(36));
  CHECK_FALSE(Json::parse(rollout_json(rolled, kTelling)).contains("interrupted"));
  rolled.result.interrupted = true;
  CHECK(Json::parse(rollout_json(rolled, kTelling))["interrupted"] == true);
}

TEST_CASE(
    "The answer to a bad request has its id, its line and what is wrong, whatever the bytes") {
  const Json json = Json::parse(error_json("7", "no \xff such \"thing\"\n"));
  CHECK(names_of(json) == Names{"schema", "id", "error"});
  CHECK(json["schema"] == "sixfold.error/1");
  CHECK(json["id"] == 7);
  CHECK(Json::parse(error_json("7", "no", 12))["line"] == 12);
  CHECK_THAT(json["error"].get<std::string>(), Catch::Contains("such \"thing\"\n"));
}

TEST_CASE("A net whose name is not UTF-8 makes no report that cannot be read") {
  const Telling telling{{"net\xff", "1.2.3"}};
  const std::string replaced = "net\xef\xbf\xbd";
  Decision decision = decision_at("money", "21");
  const SmallRace race(decision.position, 0.1);
  const auto net = [](const std::string& report) { return Json::parse(report)["net"]; };
  CHECK(net(evaluation_json(evaluate_decision(race, decision), telling)) == replaced);
  CHECK(net(rollout_json(rolled_at("money", settings_of(36)), telling)) == replaced);
  const auto flip =
      study_flip(instruments_of(race), decision.position, *decision.roll, settings_of(36));
  CHECK(net(flip_json(flip.value(), telling)) == replaced);
  decision.cube = Cube{};
  CHECK(net(cube_json(study_cube(race, decision, {}), telling.made_by)) == replaced);
  const Json duel = Json::parse(duel_json({"net\xff", "net", "money", 2, 1, {}, 0.5}));
  CHECK(duel["first"] == replaced);
  CHECK(duel["second"] == "net");
}

TEST_CASE("A finished game has no roll to play, and a rollout needs one") {
  const Decision over{parse_position("6x2 / "), parse_roll("31"), money_score()};
  const SmallRace race(over.position);
  CHECK_THROWS_WITH((void)evaluate_decision(race, over), Catch::Contains("game is over"));
  CHECK_THROWS_WITH(
      (void)roll_out_decision(instruments_of(race), decision_at("money", nullptr), {}, {}),
      Catch::Contains("no roll"));
}

}  // namespace sixfold
