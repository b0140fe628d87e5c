#include "base/atomic_file.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/page/board_picture.h"
#include "report/text/evaluation_text.h"
#include "tools/commands.h"
#include "tools/evaluators.h"

namespace sixfold::tools {

int run_evaluate(const PositionOptions& options) {
  if (!options.diagram.empty()) {
    if (!options.requests.empty()) {
      throw InputError("many decisions for one picture", "--diagram", "it without --requests");
    }
    require_place_for(options.diagram, "--diagram");
  }
  Evaluators evaluators(options);
  bool first = true;
  return for_each_decision(options, [&](const Decision& decision) {
    Evaluation evaluation = evaluate_decision(evaluators.at(decision), evaluators.net_name(),
                                              decision, evaluators.tables());
    evaluation.tells_facts = options.facts;
    const bool as_json = options.json || !options.requests.empty();
    if (as_json) {
      print(evaluation_json(evaluation) + "\n");
    } else {
      print_report((first ? "" : "\n") + evaluation_text(evaluation));
    }
    if (first && !options.diagram.empty()) {
      write_file_atomically(options.diagram, board_svg_file({decision.position, decision.roll}));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
