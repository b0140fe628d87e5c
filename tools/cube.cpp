#include "study/cube_report.h"
#include "study/cube_study.h"
#include "study/json_report.h"
#include "tools/commands.h"
#include "tools/evaluators.h"

namespace sixfold::tools {

int run_cube(const CubeOptions& options) {
  const PositionOptions& common = options.decision;
  Evaluators evaluators(common);
  bool first = true;
  return for_each_decision(common, [&](const Decision& decision) {
    const CubeStudy study = study_cube(evaluators.at(decision), evaluators.net_name(), decision,
                                       {options.jacoby, options.beavers}, evaluators.tables());
    const bool as_json = common.json || !common.requests.empty();
    print(as_json ? cube_json(study) + "\n" : (first ? "" : "\n") + cube_study_text(study));
    first = false;
  });
}

}  // namespace sixfold::tools
