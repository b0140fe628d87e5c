#include "base/format.h"
#include "report/tables/lesson_tables.h"
#include "report/words/names.h"
#include "rules/notation.h"

namespace sixfold {

std::string lesson_csv(const Lesson& lesson) {
  std::string text =
      "dice,score,rank,play,trials,equity,equity_half_width,cost,cost_half_width,verdict,"
      "best_probability";
  for (const char* outcome : kOutcomeFields) {
    text += std::string(",") + outcome + "," + outcome + "_half_width";
  }
  text += "\r\n";
  const auto pair = [](const Estimate& estimate) {
    return format(",{:.6f},{:.6f}", estimate.mean, estimate.half_width);
  };
  for (const RolledDecision& cell : lesson.cells) {
    for (std::size_t i = 0; i < cell.result.plays.size(); ++i) {
      const RolledPlay& play = cell.result.plays[i];
      text += roll_text(*cell.decision.roll) + "," + cell.decision.score.name + "," +
              std::to_string(i + 1) + "," + play_name(cell, i) + "," + std::to_string(play.trials) +
              pair(play.equity) + pair(play.cost) + "," +
              std::string(verdict_name(verdict_of(i == 0, play))) +
              format(",{:.6f}", play.best_probability);
      for (const Estimate& outcome : play.outcomes) text += pair(outcome);
      text += "\r\n";
    }
  }
  return text;
}

}  // namespace sixfold
