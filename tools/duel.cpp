#include "train/duel.h"

#include "base/format.h"
#include "base/input_error.h"
#include "base/workers.h"
#include "report/json/json_report.h"
#include "rollout/statistics.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {
namespace {

double half_width_of(const DuelResult& result, double confidence) {
  return result.standard_error * student_quantile(0.5 + 0.5 * confidence, result.pairs - 1);
}

std::string report_of(const DuelOptions& options, const std::string& first,
                      const std::string& second, const DuelResult& result) {
  Estimate points;
  points.mean = result.points_per_game;
  points.standard_error = result.standard_error;
  points.half_width = half_width_of(result, options.confidence);
  if (options.json) {
    return duel_json({first, second, options.score, result.pairs, options.seed, points,
                      result.win_fraction}) +
           "\n";
  }
  return format(
      "{} against {}\n{:+.4f} ± {:.4f} points a game ({:g}% interval), {:.2f}% of games "
      "won\n{} pairs on common dice with the seats swapped, {}, cubeless, seed {}\n",
      first, second, points.mean, points.half_width, 100.0 * options.confidence,
      100.0 * result.win_fraction, result.pairs, options.score, options.seed);
}

}  // namespace

int run_duel(const DuelOptions& options) {
  const auto engine_by = [&](const std::string& net) {
    return Engine({.net = net, .instruction_set = options.instruction_set, .race_points = 0});
  };
  const Engine first = engine_by(options.first);
  const Engine second = engine_by(options.second);
  const int checkers = first.core().file().card.checkers;
  const int others = second.core().file().card.checkers;
  if (checkers != others) {
    throw InputError("the nets play games of " + std::to_string(checkers) + " and " +
                         std::to_string(others) + " checkers",
                     "duel", "two nets for the same game");
  }
  ProgressLine progress(options.quiet);
  DuelSettings settings;
  settings.pairs = options.pairs;
  settings.seed = options.seed;
  settings.score = parse_score(options.score, own_match_equities());
  settings.checkers = checkers;
  settings.threads = options.threads > 0 ? options.threads : available_threads();
  settings.stop = &interrupted();
  Stopwatch watch;
  double seconds = 0.0;
  settings.progress = [&](const DuelResult& so_far) {
    if (so_far.pairs < 2 || !progress.is_due()) return;
    seconds += watch.lap();
    const double left = seconds * static_cast<double>(options.pairs - so_far.pairs) /
                        static_cast<double>(so_far.pairs);
    progress.show(
        format("playing {} pairs: {:.0f}%, {:+.4f} ± {:.4f} points a game, {} left", options.pairs,
               100.0 * static_cast<double>(so_far.pairs) / static_cast<double>(options.pairs),
               so_far.points_per_game, half_width_of(so_far, options.confidence), time_text(left)));
  };
  const DuelResult result = duel(first.core().evaluator(), second.core().evaluator(), settings);
  progress.clear();
  if (result.pairs < 2) {
    print("Stopped before two pairs were played.\n");
    return kInterrupted;
  }
  print(report_of(options, first.net(), second.net(), result));
  return interrupted() ? kInterrupted : kDone;
}

}  // namespace sixfold::tools
