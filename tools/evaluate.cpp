#include "base/atomic_file.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/page/board_picture.h"
#include "report/text/evaluation_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_evaluate(const PositionOptions& options) {
  if (!options.diagram.empty()) {
    if (!options.requests.empty()) {
      throw InputError("many decisions for one picture", "--diagram", "it without --requests");
    }
    require_place_for(options.diagram, "--diagram", options.force);
  }
  Output output(options);
  Engine engine = engine_of(options);
  const Telling telling{engine.core().provenance(), 0.0, options.facts, false};
  bool first = true;
  return for_each_question(options, {}, engine, [&](const Asked& asked) {
    const EvaluationAnswer answer = engine.evaluate(asked.question);
    const Evaluation& evaluation = answer.study();
    output.add([&] { return evaluation_json(evaluation, telling, asked.name()); },
               [&] { return evaluation_csv(evaluation, telling.made_by); },
               [&] { return evaluation_text(evaluation, telling, terminal_style()); });
    if (first && !options.diagram.empty()) {
      write_file_atomically(options.diagram,
                            board_svg_file({evaluation.decision.position, evaluation.decision.roll,
                                            evaluation.decision.cube}));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
