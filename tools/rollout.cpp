#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/text/rollout_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_rollout(const RolloutOptions& options) {
  const PositionOptions& common = options.decision;
  Output output(common);
  Engine engine = engine_of(common, options.threads);
  const Provenance& made_by = engine.core().provenance();
  return for_each_question(common, options.rolling, engine, [&](const Asked& asked) {
    Work work(common.quiet);
    work.begin({"rolling out " + asked.words(), asked.rolling.half_width});
    Stopwatch watch;
    const RolloutAnswer answer = engine.rollout(asked.question, asked.rolling, work.watch());
    const Telling telling{made_by, watch.lap(), false, asked.ledger};
    work.clear();
    output.add([&] { return rollout_json(answer.study(), telling, asked.name()); },
               [&] { return asked.table(rollout_csv(answer.study(), made_by)); },
               [&] { return rollout_text(answer.study(), telling, terminal_style()); });
  });
}

}  // namespace sixfold::tools
