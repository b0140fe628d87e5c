// What the reports of a bear-off say beyond its outcomes.
#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "evaluator/network_file.h"
#include "exact/bear_off_tables.h"
#include "report/json/json_report.h"
#include "report/test_telling.h"
#include "report/text/evaluation_text.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

Evaluation evaluated(const char* position, const char* score = "money") {
  static const NetworkEvaluator evaluator(
      load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors").networks,
      best_instruction_set(), bear_off_tables());
  const Decision decision{parse_position(position), std::nullopt,
                          parse_score(score, own_match_equities())};
  return evaluate_decision(evaluator, decision, bear_off_tables());
}

}  // namespace

TEST_CASE("A bear-off's facts stand in both reports, the cube at money alone") {
  const Evaluation evaluation = evaluated("5 2 / 4 1");
  const std::string text = evaluation_text(evaluation, kTelling);
  for (const char* part : {"Exact values", "roller         7    1.475 sd 0.506",
                           "cube           wait  double, he takes  double, he passes  right",
                           "centred     +0.0556           +0.1111            +1.0000  double, he takes",
                           "roller's    +0.2392", "wait\n"}) {
    INFO(part);
    CHECK(text.find(part) != std::string::npos);
  }
  const auto json = nlohmann::json::parse(evaluation_json(evaluation, kTelling));
  CHECK(json["method"] == "exact");
  CHECK(json["bear_off"]["roller"]["mean_rolls"].get<double>() == Approx(1.475309).margin(1e-6));
  CHECK(json["bear_off"]["opponent"]["rolls"]["1"].get<double>() == Approx(29.0 / 36.0));
  CHECK(json["bear_off"]["cube"]["centred"]["no_double"].get<double>() ==
        Approx(.055556).margin(1e-6));
  const auto at_score =
      nlohmann::json::parse(evaluation_json(evaluated("5 2 / 4 1", "dmp"), kTelling));
  CHECK(at_score.contains("bear_off"));
  CHECK_FALSE(at_score["bear_off"].contains("cube"));
}

TEST_CASE("A race that is only in the one-sided table says race table") {
  const auto json = nlohmann::json::parse(evaluation_json(evaluated("6x15 / 6x15"), kTelling));
  CHECK(json["method"] == "race table");
  CHECK_FALSE(json["bear_off"].contains("cube"));
  CHECK(evaluation_text(evaluated("6x15 / 6x15"), kTelling).find("race table") !=
        std::string::npos);
  CHECK_FALSE(evaluated("7x15 / 6x15").bear_off);
}

}  // namespace sixfold
