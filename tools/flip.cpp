#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/text/flip_text.h"
#include "rules/notation.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_flip(const RolloutOptions& options) {
  const PositionOptions& common = options.decision;
  if (common.dice.empty()) throw InputError("no roll to be played", "dice", "such as 64");
  if (options.rolling.half_width != 0.0) {
    throw InputError("every play gets the same trials on the plane", "--half-width", "--trials");
  }
  if (common.scores != "money") {
    throw InputError("the plane holds all scores", "--score", "none");
  }
  if (!common.cube.empty() && parse_cube_or_none(common.cube)) {
    throw InputError("the plane leaves the cube out: with it equity is not a sum over outcomes",
                     "--cube " + common.cube, "none, or rollout at each score");
  }
  Engine engine = engine_of(common, options.threads);
  Core& core = engine.core();
  Question question = question_of(common);
  question.cube = "none";
  const Decision decision = core.decision(question);
  warn_of(decision.position);
  Work work(common.quiet);
  work.begin({"rolling out " + roll_text(*decision.roll) + " at all scores", 0.0, kFlipRollouts});
  Stopwatch stopwatch;
  const std::optional<FlipStudy> study =
      core.flip(decision, core.settings(options.rolling), work.watch());
  work.clear();
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
