#include "tools/board/static_answers.h"

#include <functional>
#include <vector>

#include "base/input_error.h"
#include "report/json/board_json.h"
#include "report/json/json_report.h"
#include "report/page/board_picture.h"
#include "tools/questions.h"

namespace sixfold::tools {
namespace {

/// What is asked at one score.
Decision decision_in(const Engine& engine, const std::string& body, std::string& id,
                     CallersName& name) {
  const std::vector<Asked> asked = asked_in(body, {}, {}, engine.core().match_table(), id);
  if (asked.size() > 1) throw InputError("several scores", "field score", "one");
  name.id = id;
  return engine.core().decision(asked.front().question);
}

std::string answers(const std::vector<Asked>& all,
                    const std::function<std::string(const Asked&)>& answer) {
  std::string lines;
  for (const Asked& asked : all) lines += answer(asked) + "\n";
  return lines;
}

}  // namespace

std::string look_at(const Engine& engine, const std::string& body, std::string& id) {
  CallersName name;
  const Decision decision = decision_in(engine, body, id, name);
  return look_json(decision.position, decision.roll, name) + "\n";
}

std::string evaluated(Engine& engine, const std::string& body, std::string& id) {
  return answers(asked_in(body, {}, {}, engine.core().match_table(), id), [&](const Asked& asked) {
    const EvaluationAnswer answer = engine.evaluate(asked.question);
    return evaluation_json(answer.study(), {engine.core().provenance(), 0.0, asked.facts, false},
                           asked.name());
  });
}

std::string doubled(Engine& engine, const std::string& body, std::string& id) {
  return answers(asked_in(body, request_options(true), {}, engine.core().match_table(), id),
                 [&](const Asked& asked) {
                   if (asked.asks_for_trials) {
                     throw InputError("nothing is rolled out here", "cube",
                                      "a piece of work of the kind cube");
                   }
                   return cube_json(engine.cube(asked.question)->study(),
                                    engine.core().provenance(), asked.name());
                 });
}

std::string pictured(const Engine& engine, const std::string& body, std::string& id) {
  CallersName name;
  const Decision decision = decision_in(engine, body, id, name);
  return board_svg_file({decision.position, decision.roll, decision.cube});
}

std::string judged(Engine& engine, const std::string& record, const std::string& name) {
  std::vector<std::string> notes;
  const MatchReview review = reviewed_match(engine.core(), record, name, &interrupted(), notes);
  return review_json(review, engine.core().provenance()) + "\n";
}

}  // namespace sixfold::tools
