#include "report/json/json_report.h"
#include "report/text/cube_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_cube(const CubeOptions& options) {
  const PositionOptions& common = options.rollout.decision;
  Engine engine = engine_of(common, options.rollout.threads);
  ProgressLine progress(common.quiet);
  const auto rolling = options.rolled ? std::optional(options.rollout.rolling) : std::nullopt;
  const Provenance& made_by = engine.core().provenance();
  bool first = true;
  return for_each_question(common, engine, [&](const Question& question, const std::string& id) {
    const std::optional<CubeAnswer> answer = engine.cube(question, rolling, watched(progress));
    progress.clear();
    const bool as_json = common.json || !common.requests.empty();
    if (!answer) {
      const std::string note = "stopped before both actions had their first trials";
      print(as_json ? error_json(id, note) + "\n" : note + "\n");
      return;
    }
    if (as_json) {
      print(cube_json(answer->study(), made_by, id) + "\n");
    } else {
      print((first ? "" : "\n") + cube_study_text(answer->study(), made_by, terminal_style()));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
