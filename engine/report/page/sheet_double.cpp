#include <vector>

#include "base/markup.h"
#include "report/page/charts.h"
#include "report/page/sheet_panels.h"
#include "report/page/sheet_parts.h"
#include "report/words/plain_words.h"

namespace sixfold {
namespace {

/// Where doubles and takes begin, by the model.
std::string model_table(const CubeStudy& study, const std::string& at) {
  const CubeDecision& found = study.equities;
  std::string rows;
  const auto add = [&](const char* name, const std::optional<double>& share, const char* field) {
    if (share) rows += table_row(name, {datum(*share, at + "/" + field, "%.1f%%", 100.0)});
  };
  add("doubles are right from", found.double_point, "double_point");
  add("cash point", found.cash_point, "cash_point");
  if (found.take_point) add("the opponent's take point", found.take_point->live, "take_point");
  add("market losers", study.market_losers, "market_losers");
  return rows.empty() ? ""
                      : table_of("numbers", "By the cube model, from static outcomes",
                                 {"chance to win, or share"}, rows);
}

std::string action_table(const CubeStudy& study, const std::string& at) {
  const CubeDecision& found = study.equities;
  const auto equity = [&](double value, const char* field, const Estimate* rolled) {
    const std::string text = datum(value, at + "/" + field, "%+.3f");
    if (rolled == nullptr) return text;
    return text + " ± " +
           datum(rolled->half_width, at + "/rollout/" + field + "/equity/half_width", "%.3f");
  };
  const RolledDouble* const rolled = study.rolled ? &*study.rolled : nullptr;
  std::string rows = table_row("no double", {equity(found.no_double, "no_double",
                                                    rolled ? &rolled->no_double.equity : nullptr)});
  if (found.double_take) {
    rows += table_row(found.is_beavered ? "double, beaver" : "double, take",
                      {equity(*found.double_take, "double_take",
                              rolled ? &rolled->double_take->equity : nullptr)}) +
            table_row("double, pass", {equity(*found.double_pass, "double_pass", nullptr)});
    if (rolled) {
      rows += table_row("no double less double, take",
                        {interval_data(rolled->difference, at + "/rollout/difference", true)});
    }
  }
  return table_of("numbers", "For each unit of the present cube", {"equity"}, rows) +
         model_table(study, at);
}

std::string action_picture(const CubeStudy& study) {
  std::vector<IntervalPoint> points;
  const auto add = [&](const char* name, double value, const Estimate* rolled) {
    Estimate estimate;
    estimate.mean = value;
    if (rolled != nullptr) estimate.half_width = rolled->half_width;
    points.push_back({name, estimate, ""});
  };
  const RolledDouble* const rolled = study.rolled ? &*study.rolled : nullptr;
  add("no double", study.equities.no_double, rolled ? &rolled->no_double.equity : nullptr);
  if (study.equities.double_take) {
    add("double, take", *study.equities.double_take,
        rolled ? &rolled->double_take->equity : nullptr);
    add("double, pass", *study.equities.double_pass, nullptr);
  }
  return interval_points_svg(points, {}, "equity for each unit of the present cube");
}

}  // namespace

std::string double_panel(const Lesson& lesson) {
  std::string scores;
  for (std::size_t i = 0; i < lesson.doubles.size(); ++i) {
    const CubeStudy& study = lesson.doubles[i];
    const char* source = study.is_exact ? "Exact equities under best play and doubling."
                         : study.rolled ? "Rolled out; players double by the cube model."
                                        : "By the cube model from static outcomes.";
    scores += element(
        "section", {{"class", "score keep"}},
        element("h3", {}, escaped(study.decision.score.name)) + "\n" +
            paragraphs("words", double_words(study)) +
            element("div", {{"class", "pair"}},
                    element("figure", {},
                            action_picture(study) + element("figcaption", {}, escaped(source))) +
                        element("div", {}, action_table(study, "/doubles/" + std::to_string(i)))));
  }
  return scores;
}

}  // namespace sixfold
