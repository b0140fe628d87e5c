#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/text/flip_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_flip(const RolloutOptions& options) {
  const PositionOptions& common = options.decision;
  if (common.dice.empty()) throw InputError("no roll to be played", "dice", "such as 64");
  if (options.rolling.half_width > 0.0) {
    throw InputError("every play gets the same trials on the plane", "--half-width", "--trials");
  }
  if (common.scores != "money") {
    throw InputError("the plane holds all scores", "--score", "none");
  }
  Engine engine = engine_of(common, options.threads);
  Core& core = engine.core();
  ProgressLine progress(common.quiet);
  const Watch watch = watched([&](std::uint64_t share, std::uint64_t) {
    progress.show("rolled out " + std::to_string(share) + "% of a corner of the plane");
  });
  Stopwatch stopwatch;
  const std::optional<FlipStudy> study =
      core.flip(core.decision(question_of(common)), core.settings(options.rolling), watch);
  progress.clear();
  if (!study) {
    print("Stopped before all corners of the plane were rolled out.\n");
    return kInterrupted;
  }
  const Telling telling{core.provenance(), stopwatch.lap()};
  if (common.json) {
    print(flip_json(*study, telling) + "\n");
  } else {
    print(flip_text(*study, telling, terminal_style()));
  }
  return kDone;
}

}  // namespace sixfold::tools
