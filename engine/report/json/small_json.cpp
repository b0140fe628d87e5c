#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "rules/notation.h"
#include "study/score_study.h"

namespace sixfold {

std::string solved_json(const SolvedSummary& summary, const SolvedTelling& telling) {
  Json json;
  json["schema"] = "sixfold.solution/1";
  json["checkers"] = summary.checkers;
  json["positions"] = summary.positions;
  json["position"] = position_text(summary.start);
  json["equity"] = worth_of(summary.before_roll, kMoneyWorth);
  json["outcomes"] = outcomes_json(summary.before_roll);
  json["opening_winner"] = {{"equity", worth_of(summary.opening_winner, kMoneyWorth)},
                            {"outcomes", outcomes_json(summary.opening_winner)}};
  if (!telling.file.empty()) json["file"] = telling.file;
  json["loaded"] = telling.loaded;
  json["seconds"] = telling.seconds;
  return line_of(json);
}

std::string score_json(const Score& score) {
  Json json;
  json["schema"] = "sixfold.score/1";
  json["score"] = score.name;
  if (score.match) {
    json["match_winning_chance"] = {{"after_loss", score.match->after_single_loss},
                                    {"after_win", score.match->after_single_win}};
  }
  for (const ScoreAtCube& at : study_score(score)) {
    Json row;
    row["cube"] = at.cube;
    row["gammon_price"] = {{"roller", at.prices.own}, {"opponent", at.prices.opponents}};
    if (const auto& point = at.take_points.roller) {
      row["take_point"]["roller"] = {{"live", point->live}, {"dead", point->dead}};
    }
    if (const auto& point = at.take_points.opponent) {
      row["take_point"]["opponent"] = {{"live", point->live}, {"dead", point->dead}};
    }
    json["values"].push_back(std::move(row));
  }
  return line_of(json);
}

std::string duel_json(const DuelReport& duel) {
  return line_of({{"schema", "sixfold.duel/1"},
                  {"first", duel.first},
                  {"second", duel.second},
                  {"score", duel.score},
                  {"pairs", duel.pairs},
                  {"seed", duel.seed},
                  {"points_per_game",
                   {{"mean", duel.points_per_game.mean},
                    {"standard_error", duel.points_per_game.standard_error},
                    {"half_width", duel.points_per_game.half_width}}},
                  {"win_fraction", duel.win_fraction}});
}

std::string queue_json(const QueueReport& entry) {
  const auto or_null = [](const auto& value) { return value ? Json(*value) : Json(); };
  return line_of({{"schema", "sixfold.queue/1"},
                  {"entry", entry.entry},
                  {"state", entry.state},
                  {"title", entry.title},
                  {"half_width", or_null(entry.half_width)},
                  {"trials", entry.trials},
                  {"parts", entry.parts},
                  {"open", entry.open_verdicts},
                  {"seconds", entry.seconds},
                  {"seconds_left", or_null(entry.seconds_left)},
                  {"error", or_null(entry.error)}});
}

std::string error_json(std::string_view id, std::string_view message, std::optional<int> line) {
  Json json;
  json["schema"] = "sixfold.error/1";
  json["id"] = Json::parse(id);
  if (line) json["line"] = *line;
  json["error"] = message;
  return line_of(json);
}

}  // namespace sixfold
