#include "study/json_report.h"
#include "study/text_report.h"
#include "tools/commands.h"
#include "tools/evaluators.h"

namespace sixfold::tools {

int run_evaluate(const PositionOptions& options) {
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
    first = false;
  });
}

}  // namespace sixfold::tools
