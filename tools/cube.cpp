#include "report/json/json_report.h"
#include "report/text/cube_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_cube(const CubeOptions& options) {
  const PositionOptions& common = options.rollout.decision;
  Output output(common);
  Engine engine = engine_of(common, options.rollout.threads);
  const Provenance& made_by = engine.core().provenance();
  return for_each_question(common, options.rollout.rolling, engine, [&](const Asked& asked) {
    const bool is_rolled = options.rolled || asked.asks_for_trials;
    Work work(common.quiet);
    if (is_rolled) {
      work.begin({"rolling out the double at " + asked.question.score, asked.rolling.half_width});
    }
    const std::optional<CubeAnswer> answer = [&] {
      if (is_rolled) return engine.cube(asked.question, asked.rolling, work.watch());
      const AtOnce at_once;
      return engine.cube(asked.question);
    }();
    work.clear();
    if (!answer) {
      output.add_none(asked, "stopped before both actions had their first trials");
      return;
    }
    output.add([&] { return cube_json(answer->study(), made_by, asked.name()); },
               [&] { return asked.table(cube_csv(answer->study(), made_by)); },
               [&] { return cube_study_text(answer->study(), made_by, terminal_style()); });
  });
}

}  // namespace sixfold::tools
