#include "base/atomic_file.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/page/board_picture.h"
#include "report/text/evaluation_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {
namespace {

/// What can't be asked together.
void require_one_form(const PositionOptions& options) {
  if (!options.diagram.empty()) {
    if (!options.requests.empty()) {
      throw InputError("many decisions for one picture", "--diagram", "it without --requests");
    }
    files_of(options).writes(options.diagram, "--diagram", options.force);
  }
  if (options.distributions && options.facts) {
    throw InputError("the six outcomes alone have no facts", "--facts", "it or --distributions");
  }
}

void add_evaluation(Output& output, Engine& engine, const Asked& asked) {
  const EvaluationAnswer answer = [&] {
    const AtOnce at_once;  // A game of few checkers may have to be solved.
    return engine.evaluate(asked.question);
  }();
  const Evaluation& evaluation = answer.study();
  const Telling telling{engine.core().provenance(), 0.0, asked.facts, false};
  output.add([&] { return evaluation_json(evaluation, telling, asked.name()); },
             [&] { return asked.table(evaluation_csv(evaluation, telling.made_by)); },
             [&] { return evaluation_text(evaluation, telling, terminal_style()); });
}

void add_distribution(Output& output, Core& core, const Asked& asked) {
  if (!asked.question.dice.empty()) {
    throw InputError("distributions are of positions before the dice", "dice", "none");
  }
  const Decision decision = core.decision(asked.question);
  const OutcomeDistribution outcomes = [&] {
    const AtOnce at_once;
    return core.evaluator_for(decision).evaluate(decision.position);
  }();
  output.add([&] { return distribution_json(outcomes, decision.score, asked.name()); },
             [&] { return asked.table(distribution_csv(outcomes, decision.score)); },
             [] { return std::string(); });
}

}  // namespace

int run_evaluate(const PositionOptions& options) {
  require_one_form(options);
  Output output(options);
  Engine engine = engine_of(options);
  bool first = true;
  return for_each_question(options, {}, engine, [&](const Asked& asked) {
    if (options.distributions) {
      add_distribution(output, engine.core(), asked);
    } else {
      add_evaluation(output, engine, asked);
    }
    if (first && !options.diagram.empty()) {
      const Decision decision = engine.core().decision(asked.question);
      write_file_atomically(options.diagram,
                            board_svg_file({decision.position, decision.roll, decision.cube}));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
