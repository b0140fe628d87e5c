#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/text/rollout_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_rollout(const RolloutOptions& options) {
  const PositionOptions& common = options.decision;
  Engine engine = engine_of(common, options.threads);
  ProgressLine progress(common.quiet);
  bool first = true;
  return for_each_question(common, engine, [&](const Question& question, const std::string& id) {
    Stopwatch watch;
    const RolloutAnswer answer = engine.rollout(question, options.rolling, watched(progress));
    const Telling telling{engine.core().provenance(), watch.lap(), false, options.ledgers};
    progress.clear();
    const bool as_json = common.json || !common.requests.empty();
    if (as_json) {
      print(rollout_json(answer.study(), telling, id) + "\n");
    } else {
      print((first ? "" : "\n") + rollout_text(answer.study(), telling, terminal_style()));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
