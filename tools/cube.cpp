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
  const Provenance made_by = evaluators.made_by();
  bool first = true;
  return for_each_decision(common, [&](const Decision& decision, const std::string& id) {
    const Evaluator& evaluator = evaluators.at(decision);
    const ExactTables& tables = evaluators.tables();
    const std::optional<CubeStudy> study =
        options.rolled ? roll_out_cube(evaluator, decision, settings, tables)
                       : study_cube(evaluator, decision, tables);
    progress.clear();
    const bool as_json = common.json || !common.requests.empty();
    if (!study) {
      const std::string note = "stopped before both actions had their first trials";
      print(as_json ? error_json(id, note) + "\n" : note + "\n");
      return;
    }
    if (as_json) {
      print(cube_json(*study, made_by, id) + "\n");
    } else {
      print((first ? "" : "\n") + cube_study_text(*study, made_by, terminal_style()));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
