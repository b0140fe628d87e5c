#include <vector>

#include "base/markup.h"
#include "report/page/charts.h"
#include "report/page/rolls_panel.h"
#include "report/page/sheet_panels.h"
#include "report/page/sheet_parts.h"
#include "report/words/cube_words.h"
#include "report/words/names.h"
#include "report/words/plain_words.h"

namespace sixfold {
namespace {

std::string equity_cell(const CubeWay& way, const JsonPath& at) {
  if (way.rolled == nullptr) return datum(way.equity, at / way.field, "{:+.3f}");
  return with_half_width(datum(way.equity, at / way.field, "{:+.3f}"),
                         datum(way.rolled->half_width,
                               at / "rollout" / way.field / "equity" / "half_width", "{:.3f}"));
}

std::string chance_cell(const CubeStudy& study, const CubeWay& way, const JsonPath& at) {
  const double chance = *match_chance(study.decision, way.equity);
  const std::string text = datum(chance, at / "match_winning_chance" / way.field, "{:.1f}", 100.0);
  if (way.rolled == nullptr) return text + "%";
  const JsonPath error = at / "rollout" / way.field / "match_winning_chance" / "half_width";
  return with_half_width(text, datum(match_chance(study.decision, *way.rolled)->half_width, error,
                                     "{:.1f}", 100.0)) +
         "%";
}

/// What a way costs the one whose error it is: the roller who waits or doubles, the opponent who
/// takes or passes.
TableCells cost_cells(const CubeStudy& study, const JsonPath& at) {
  const CubeDecision& found = study.equities;
  const CubeCosts costs = costs_of(found);
  const OpenQuestions open = study.rolled ? open_questions(study) : OpenQuestions{};
  const auto cell = [&](const char* who, double cost, const char* field, bool is_open) {
    if (cost <= 0.0) return std::string();
    return std::string(who) + " " + datum(cost, at / "costs" / field, "{:.3f}") +
           (is_open ? ", open" : "");
  };
  const bool is_taken = *found.double_take <= *found.double_pass;
  const std::string doubling = cell("roller", costs.doubling, "double", open.doubling);
  const auto joined = [](const std::string& first, const std::string& second) {
    return first + (first.empty() || second.empty() ? "" : "; ") + second;
  };
  return {cell("roller", costs.no_double, "no_double", open.doubling),
          joined(is_taken ? doubling : "", cell("opponent", costs.take, "take", open.taking)),
          joined(is_taken ? "" : doubling, cell("opponent", costs.pass, "pass", open.taking))};
}

std::string action_table(const CubeStudy& study, const JsonPath& at) {
  const bool is_match = study.decision.score.match.has_value();
  const bool may_double = study.equities.double_take.has_value();
  const TableCells costs = may_double ? cost_cells(study, at) : TableCells{};
  TableCells heads{"equity"};
  if (is_match) heads.emplace_back("to win the match");
  if (may_double) heads.emplace_back("costs");
  std::string rows;
  const std::vector<CubeWay> ways = ways_of(study);
  for (std::size_t i = 0; i < ways.size(); ++i) {
    TableCells cells{equity_cell(ways[i], at)};
    if (is_match) cells.push_back(chance_cell(study, ways[i], at));
    if (may_double) cells.push_back(costs[i]);
    rows += table_row(ways[i].name, cells);
  }
  return table_of("numbers", "For each unit of the present cube; what errors cost, and whom", heads,
                  rows);
}

std::string outcome_table(const CubeStudy& study, const JsonPath& at) {
  std::string rows;
  for (std::size_t o = kOutcomeCount; o-- > 0;) {
    const char* const field = kOutcomeFields[o];
    const JsonPath rolled = at / "rollout" / "no_double" / "outcomes" / field;
    rows += table_row(
        kOutcomeWords[o],
        {study.rolled ? share_data(study.rolled->no_double.outcomes[o], rolled)
                      : datum(study.outcomes[o], at / "outcomes" / field, "{:.2f}", 100.0)});
  }
  return table_of("numbers", "Outcomes, % of all games, if nobody doubles now", {"waiting"}, rows);
}

/// Where doubles and takes begin, by the model.
std::string model_table(const CubeStudy& study, const JsonPath& at) {
  const CubeDecision& found = study.equities;
  std::string rows;
  const auto add = [&](const char* name, const std::optional<double>& share, const char* field) {
    if (share) rows += table_row(name, {datum(*share, at / field, "{:.1f}%", 100.0)});
  };
  add("doubles are right from", found.double_point, "double_point");
  add("cash point", found.cash_point, "cash_point");
  if (found.take_point) {
    add("the opponent's take point", found.take_point->live, "take_point");
    add("the same with a dead cube", found.take_point->dead, "dead_take_point");
  }
  add("market losers", study.market_losers, "market_losers");
  if (rows.empty()) return "";
  return table_of("numbers",
                  "By the cube model, with gammons as large a part of wins and losses as above",
                  {"chance to win, or share"}, rows);
}

std::string action_picture(const CubeStudy& study) {
  std::vector<IntervalPoint> points;
  for (const CubeWay& way : ways_of(study)) {
    Estimate estimate;
    estimate.mean = way.equity;
    if (way.rolled != nullptr) estimate.half_width = way.rolled->half_width;
    points.push_back({way.name, estimate, ""});
  }
  return interval_points_svg(points, {}, "equity for each unit of the present cube");
}

}  // namespace

std::string double_answer_panel(const CubeStudy& study, const JsonPath& at) {
  return paragraphs("words", double_words(study)) + action_table(study, at);
}

std::string double_numbers(const CubeStudy& study, const JsonPath& at) {
  const char* source = study.is_exact ? "Exact equities under best play and doubling."
                       : study.rolled ? "Rolled out; players double by the cube model."
                                      : "By the cube model from static outcomes.";
  return element(
      "div", {{"class", "pair"}},
      element("figure", {}, action_picture(study) + element("figcaption", {}, escaped(source))) +
          element("div", {},
                  outcome_table(study, at) + model_table(study, at) + rolls_panel(study, at)));
}

std::string double_panel(const Lesson& lesson) {
  std::string scores;
  for (std::size_t i = 0; i < lesson.doubles.size(); ++i) {
    const CubeStudy& study = lesson.doubles[i];
    const std::string& score = study.decision.score.name;
    scores +=
        element(
            "section", {{"class", "score keep"}},
            element("h3", {}, escaped(score)) + "\n" + double_answer_panel(study, double_path(i))) +
        "\n" + folded("score", score + ": all numbers", double_numbers(study, double_path(i)));
  }
  return scores;
}

}  // namespace sixfold
