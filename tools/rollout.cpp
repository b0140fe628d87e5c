#include <string>

#include "base/input_error.h"
#include "base/workers.h"
#include "report/json/json_report.h"
#include "report/text/rollout_text.h"
#include "tools/commands.h"
#include "tools/evaluators.h"

namespace sixfold::tools {

RolloutSettings rollout_settings(const RolloutOptions& options) {
  RolloutSettings settings;
  settings.trials = options.trials;
  settings.half_width = options.half_width;
  settings.most_trials = options.most_trials;
  settings.confidence = options.confidence;
  settings.seed = options.seed;
  settings.threads = options.threads > 0 ? options.threads : available_threads();
  settings.lookahead = options.lookahead;
  settings.truncate = options.truncate;
  settings.luck_control = options.luck != "none";
  if (options.free_dice) settings.stratified = false;
  if (options.plain) settings.make_plain();
  settings.known_ends = !options.play_on;
  settings.stop = &interrupted();
  return settings;
}

void set_luck(RolloutSettings& settings, const RolloutOptions& options,
              const Evaluators& evaluators) {
  if (options.luck == "net" && evaluators.luck() == nullptr) {
    throw InputError(evaluators.net_name() + " has no luck networks", "--luck",
                     "full or none, or a net made by `sixfold train --luck-for`");
  }
  if (options.luck != "full") settings.luck = evaluators.luck();
}

std::function<void(const RolloutProgress&)> rollout_progress(ProgressLine& line) {
  return [&](const RolloutProgress& at) {
    line.show("rolled out " + std::to_string(100 * at.trials_done / at.trials_planned) + "% of " +
              std::to_string(at.trials_planned) + " trials");
  };
}

VerdictThresholds thresholds(const RolloutOptions& options) {
  return {options.error_threshold, options.blunder_threshold};
}

int run_rollout(const RolloutOptions& options) {
  const PositionOptions& common = options.decision;
  Evaluators evaluators(common);
  ProgressLine progress(common.quiet);
  RolloutSettings settings = rollout_settings(options);
  set_luck(settings, options, evaluators);
  settings.progress = rollout_progress(progress);
  bool first = true;
  return for_each_decision(common, [&](const Decision& decision) {
    Stopwatch watch;
    RolledDecision rolled =
        roll_out_decision(evaluators.at(decision), evaluators.net_name(), decision, settings,
                          thresholds(options), evaluators.tables());
    rolled.seconds = watch.lap();
    rolled.ledgers = options.ledgers;
    progress.clear();
    const bool as_json = common.json || !common.requests.empty();
    if (as_json) {
      print(rollout_json(rolled) + "\n");
    } else {
      print_report((first ? "" : "\n") + rollout_text(rolled));
    }
    first = false;
  });
}

}  // namespace sixfold::tools
