#include "report/json/json_report.h"
#include "report/text/cube_text.h"
#include "study/cube_study.h"
#include "tools/commands.h"
#include "tools/evaluators.h"

namespace sixfold::tools {

int run_cube(const CubeOptions& options) {
  const PositionOptions& common = options.rollout.decision;
  Evaluators evaluators(common);
  ProgressLine progress(common.quiet);
  RolloutSettings settings = rollout_settings(options.rollout);
  set_luck(settings, options.rollout, evaluators);
  settings.progress = rollout_progress(progress);
  bool first = true;
  return for_each_decision(common, [&](const Decision& decision) {
    const Evaluator& evaluator = evaluators.at(decision);
    const std::string& net = evaluators.net_name();
    const ExactTables& tables = evaluators.tables();
    const std::optional<CubeStudy> study =
        options.rolled ? roll_out_cube(evaluator, net, decision, settings, tables)
                       : study_cube(evaluator, net, decision, tables);
    progress.clear();
    const bool as_json = common.json || !common.requests.empty();
    if (!study) {
      const std::string note = "stopped before both actions had their first trials";
      print(as_json ? error_json(decision.id, note) + "\n" : note + "\n");
      return;
    }
    if (as_json) {
      print(cube_json(*study) + "\n");
    } else {
      print_report((first ? "" : "\n") + cube_study_text(*study));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
