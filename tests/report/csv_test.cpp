// Answers as comma-separated values: RFC 4180, the same columns in all tables.
#include "report/tables/csv.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <string>
#include <vector>

#include "report/test_telling.h"
#include "report/words/names.h"
#include "rollout/small_race.h"
#include "rules/notation.h"
#include "study/instruments_of.h"

namespace sixfold {
namespace {

using Row = std::vector<std::string>;

/// Lines of cells, as RFC 4180 has them: no line break inside quotes is met here.
std::vector<Row> rows_of(const std::string& text) {
  std::vector<Row> rows;
  Row row(1);
  bool is_quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"') {
      const bool is_doubled = is_quoted && i + 1 < text.size() && text[i + 1] == '"';
      if (is_doubled) row.back() += text[++i];
      if (!is_doubled) is_quoted = !is_quoted;
    } else if (c == ',' && !is_quoted) {
      row.emplace_back();
    } else if (c == '\r') {
      REQUIRE(text.substr(i, 2) == "\r\n");
      rows.push_back(row);
      row.assign(1, "");
      ++i;
    } else {
      row.back() += c;
    }
  }
  CHECK(row == Row(1));
  return rows;
}

/// Cells by the names of their columns.
std::vector<std::map<std::string, std::string>> table_of(const std::string& text) {
  const std::vector<Row> rows = rows_of(text);
  REQUIRE_FALSE(rows.empty());
  std::vector<std::map<std::string, std::string>> table;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    REQUIRE(rows[i].size() == rows[0].size());
    table.emplace_back();
    for (std::size_t c = 0; c < rows[0].size(); ++c) table.back()[rows[0][c]] = rows[i][c];
    CHECK(table.back().size() == rows[0].size());
  }
  return table;
}

auto table_of(const Csv& csv) { return table_of(csv.text()); }

Decision decision_at(const char* score, const char* dice) {
  Decision decision{parse_position("6 5 3 / 6 4 2", 3), std::nullopt,
                    parse_score(score, own_match_equities())};
  if (dice != nullptr) decision.roll = parse_roll(dice);
  return decision;
}

RolledDecision rolled_at(const char* score) {
  const Decision decision = decision_at(score, "21");
  const SmallRace race(decision.position, 0.1);
  return roll_out_decision(instruments_of(race), decision, settings_of(72, 9));
}

}  // namespace

TEST_CASE("Static values as CSV have a line for each play, with position, score, cube and net") {
  const Decision decision = decision_at("gammon-save", "21");
  const SmallRace race(decision.position);
  const Evaluation evaluation = evaluate_decision(race, decision);
  const auto table = table_of(evaluation_csv(evaluation, kMadeBy));
  REQUIRE(table.size() == evaluation.plays.size());
  auto second = table[1];
  CHECK(second["position"] == "6 5 3 / 6 4 2");
  CHECK(second["dice"] == "21");
  CHECK(second["score"] == "gammon-save");
  CHECK(second["cube"] == "none");
  CHECK(second["net"] == kMadeBy.net);
  CHECK(second["seed"].empty());
  CHECK(second["rank"] == "2");
  CHECK(std::stod(second["cost"]) == Approx(evaluation.plays[1].cost).margin(1e-6));
  // Losing a single game is worth one half here, winning any game one.
  CHECK(std::stod(second["match_winning_chance"]) ==
        Approx(0.75 + 0.25 * evaluation.plays[1].equity).margin(1e-6));
  CHECK(std::stod(second["win_gammon"]) == Approx(evaluation.plays[1].outcomes[4]).margin(1e-6));
  CHECK(second["cubeless_equity"] == second["equity"]);
  CHECK(second["equity_method"].empty());
}

TEST_CASE("With the cube CSV has the cubeless equity beside the equity") {
  Decision decision = decision_at("money", "21");
  decision.cube = Cube{};
  const SmallRace race(decision.position, 0.1);
  const Evaluation evaluation = evaluate_decision(race, decision);
  auto first = table_of(evaluation_csv(evaluation, kMadeBy)).front();
  CHECK(first["cube"] == "centred");
  CHECK(std::stod(first["equity"]) == Approx(evaluation.plays[0].equity).margin(1e-6));
  CHECK(std::stod(first["cubeless_equity"]) ==
        Approx(evaluation.plays[0].cubeless_equity).margin(1e-6));
  CHECK(first["equity_method"] == "model");
  const RolledDecision rolled = roll_out_decision(instruments_of(race), decision, settings_of(36));
  auto best = table_of(rollout_csv(rolled, kMadeBy)).front();
  const Estimate& cubeless = cubeless_equity(rolled.result.plays[0]);
  CHECK(std::stod(best["cubeless_equity"]) == Approx(cubeless.mean).margin(1e-6));
  CHECK(std::stod(best["cubeless_equity_half_width"]) == Approx(cubeless.half_width).margin(1e-6));
}

TEST_CASE("A rollout as CSV has means and half-widths, and the seed") {
  const RolledDecision rolled = rolled_at("gammon-save");
  const auto table = table_of(rollout_csv(rolled, kMadeBy));
  REQUIRE(table.size() == rolled.result.plays.size());
  auto last = table.back();
  const RolledPlay& play = rolled.result.plays.back();
  CHECK(last["seed"] == "9");
  CHECK(last["trials"] == "72");
  CHECK(std::stod(last["equity_half_width"]) == Approx(play.equity.half_width).margin(1e-6));
  CHECK(std::stod(last["match_winning_chance_half_width"]) ==
        Approx(0.25 * play.equity.half_width).margin(1e-6));
  CHECK(last["cost_at_least"].empty());
  CHECK(last["grade"].empty());
  CHECK(table.front().at("verdict") == "best");
}

TEST_CASE("A play that was set aside has a bound, and no cost, equity or outcomes") {
  RolledDecision rolled = rolled_at("money");
  rolled.result.plays.back().at_least = 0.25;
  auto last = table_of(rollout_csv(rolled, kMadeBy)).back();
  CHECK(last["cost_at_least"] == "0.250000");
  for (const std::string column :
       {"cost", "equity", "cubeless_equity", "win_single", "lose_gammon"}) {
    CHECK(last[column].empty());
    CHECK(last[column + "_half_width"].empty());
  }
  CHECK_FALSE(last["best_probability"].empty());
}

TEST_CASE("A text with commas or quotes is one cell") {
  const Decision decision = decision_at("money", nullptr);
  const SmallRace race(decision.position);
  Provenance odd = kMadeBy;
  odd.net = "a \"net\", mine";
  auto table = table_of(evaluation_csv(evaluate_decision(race, decision), odd));
  REQUIRE(table.size() == 1);
  CHECK(table[0]["net"] == odd.net);
  CHECK(table[0]["play"].empty());
  CHECK(table[0]["dice"].empty());
}

TEST_CASE("A doubling decision as CSV has its equities, and half-widths where it was rolled out") {
  Decision decision = decision_at("3-away/5-away", nullptr);
  decision.cube = Cube{2, CubeOwner::kRoller};
  const SmallRace race(decision.position, 0.1);
  const CubeStudy model = study_cube(race, decision, {});
  auto by_model = table_of(cube_csv(model, kMadeBy)).front();
  CHECK(by_model["cube"] == "roller:2");
  CHECK(by_model["method"] == "model");
  CHECK(by_model["trials"].empty());
  CHECK(by_model["no_double_half_width"].empty());
  CHECK(std::stod(by_model["no_double_match_winning_chance"]) ==
        Approx(match_chance(decision, model.equities.no_double).value()).margin(1e-6));
  const auto study = roll_out_cube(instruments_of(race), decision, settings_of(36));
  REQUIRE(study);
  auto rolled = table_of(cube_csv(*study, kMadeBy)).front();
  CHECK(rolled["trials"] == "36");
  CHECK(std::stod(rolled["double_take_half_width"]) ==
        Approx(study->rolled->double_take->equity.half_width).margin(1e-6));
}

namespace {

/// Two rolls at two scores, and the double before them.
LessonPlan plan_with_double() {
  LessonPlan plan;
  plan.position = parse_position("6 5 3 / 6 4 2", 3);
  plan.rolls = {parse_roll("21"), parse_roll("43")};
  plan.scores = {money_score(), parse_score("3-away/5-away", own_match_equities())};
  plan.cube = AskedCube(Cube{});
  plan.doubling = true;
  plan.settings = settings_of(36);
  return plan;
}

Lesson lesson_of(const LessonPlan& plan) {
  const SmallRace race(plan.position, 0.1);
  return make_lesson([&](const Decision&) { return instruments_of(race); }, plan,
                     [](const LessonPart&) {});
}

/// The lines of a kind, with the cells that `heading` names.
std::string lines_of_kind(const std::vector<std::map<std::string, std::string>>& table,
                          const std::string& kind, const Row& heading) {
  std::string lines;
  for (const auto& row : table) {
    if (row.at("kind") != kind) continue;
    for (const std::string& name : heading) lines += row.at(name) + '|';
  }
  return lines;
}

std::string cells_of(const Csv& csv) {
  const std::vector<Row> rows = rows_of(csv.text());
  std::string cells;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    for (const std::string& cell : rows[i]) cells += cell + '|';
  }
  return cells;
}

}  // namespace

TEST_CASE("A lesson as CSV has its plays and its doubles in one table, told apart by their kind") {
  const Lesson lesson = lesson_of(plan_with_double());
  REQUIRE(lesson.cells.size() == 4);
  REQUIRE(lesson.doubles.size() == 2);
  const Csv csv = lesson_csv(lesson, kMadeBy);
  const auto table = table_of(csv);
  std::string plays;
  std::string doubles;
  for (const RolledDecision& cell : lesson.cells) plays += cells_of(rollout_csv(cell, kMadeBy));
  for (const CubeStudy& study : lesson.doubles) doubles += cells_of(cube_csv(study, kMadeBy));
  const auto of_plays = rows_of(rollout_csv(lesson.cells[0], kMadeBy).heading)[0];
  const auto of_doubles = rows_of(cube_csv(lesson.doubles[0], kMadeBy).heading)[0];
  CHECK(lines_of_kind(table, "play", of_plays) == plays);
  CHECK(lines_of_kind(table, "double", of_doubles) == doubles);
  // Nothing else is in the table, and what a kind does not have is empty.
  CHECK(rows_of(csv.heading)[0][0] == "kind");
  CHECK(table.front().at("action").empty());
  CHECK(table.back().at("play").empty());
  CHECK(table.back().at("kind") == "double");
}

TEST_CASE("A lesson without doubles, or without rolls, has the columns of its one kind as CSV") {
  LessonPlan plan = plan_with_double();
  plan.doubling = false;
  const Lesson of_plays = lesson_of(plan);
  CHECK(lesson_csv(of_plays, kMadeBy).heading ==
        "kind," + rollout_csv(of_plays.cells[0], kMadeBy).heading);
  plan.doubling = true;
  plan.rolls.clear();
  const Lesson of_doubles = lesson_of(plan);
  CHECK(lesson_csv(of_doubles, kMadeBy).heading ==
        "kind," + cube_csv(of_doubles.doubles[0], kMadeBy).heading);
  CHECK(lesson_csv(Lesson{}, kMadeBy).text().empty());
}

}  // namespace sixfold
