#include "study/flip.h"

#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/text/flip_text.h"
#include "rules/notation.h"
#include "tools/commands.h"
#include "tools/evaluators.h"

namespace sixfold::tools {

int run_flip(const RolloutOptions& options) {
  const PositionOptions& common = options.decision;
  Decision decision;
  decision.position = chosen_position(common.position, common.after, common.checkers);
  if (common.dice.empty()) throw InputError("no roll to be played", "dice", "such as 64");
  decision.roll = parse_roll(common.dice);
  if (options.half_width > 0.0) {
    throw InputError("every play gets the same trials on the plane", "--half-width", "--trials");
  }
  if (common.scores != "money") {
    throw InputError("the plane holds all scores", "--score", "none");
  }
  const MatchEquityTable table = match_equities(common.match_table);
  Evaluators evaluators(common);
  RolloutSettings settings = rollout_settings(options);
  set_luck(settings, options, evaluators);
  ProgressLine progress(common.quiet);
  settings.progress = [&](const RolloutProgress& at) {
    progress.show("rolled out " + std::to_string(100 * at.trials_done / at.trials_planned) +
                  "% of a corner of the plane");
  };
  Stopwatch watch;
  const std::optional<FlipStudy> study =
      study_flip(evaluators.at(decision), decision.position, *decision.roll, settings, table);
  progress.clear();
  if (!study) {
    print("Stopped before all corners of the plane were rolled out.\n");
    return kInterrupted;
  }
  const Telling telling{evaluators.made_by(), watch.lap()};
  if (common.json) {
    print(flip_json(*study, telling) + "\n");
  } else {
    print(flip_text(*study, telling, terminal_style()));
  }
  return kDone;
}

}  // namespace sixfold::tools
