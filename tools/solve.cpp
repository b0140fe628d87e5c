#include <cmath>

#include "base/format.h"
#include "exact/few_checkers.h"
#include "report/json/json_report.h"
#include "report/text/solved_text.h"
#include "rules/notation.h"
#include "rules/plays.h"
#include "rules/start.h"
#include "tools/commands.h"
#include "tools/places.h"
#include "tools/progress.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

/// The game's value for the player who won the opening roll, which is not doubles.
OutcomeDistribution opening_winner(const SolvedGame& game) {
  constexpr int kOpeningRolls = 15;
  const Position start = start_position(game.checkers());
  OutcomeDistribution mean;
  PlayList plays;
  for (const Roll roll : kRolls) {
    if (roll.is_doubles()) continue;
    generate_plays(start, roll, plays);
    OutcomeDistribution best = reversed(game.outcomes(position_after(start, plays[0])));
    for (const PlayKey play : plays) {
      const OutcomeDistribution outcomes = reversed(game.outcomes(position_after(start, play)));
      if (worth_of(outcomes, kMoneyWorth) > worth_of(best, kMoneyWorth)) best = outcomes;
    }
    best *= 1.0 / kOpeningRolls;
    mean += best;
  }
  return mean;
}

std::optional<SolvedGame> solve(const SolveOptions& options) {
  ProgressLine progress(options.quiet);
  SolvedGame::Settings settings;
  settings.checkers = options.checkers;
  settings.stop = &interrupted();
  Stopwatch watch;
  double seconds = 0.0;
  double before = 0.0;
  settings.progress = [&](int sweeps, double change) {
    seconds += watch.lap();
    std::string text = format(
        "solving {} checkers a side: sweep {}, values change by {:.1e} ({:.0e} "
        "wanted)",
        options.checkers, sweeps, change, settings.last_change);
    // Changes fall by about the same factor each time.
    if (before > change && change > settings.last_change) {
      const double left = std::log(change / settings.last_change) / std::log(before / change);
      text += ", " + time_text(left * seconds / sweeps) + " left";
    }
    before = change;
    progress.show_when_due(text);
  };
  Workers workers(options.threads > 0 ? options.threads : available_threads());
  return SolvedGame::solve(settings, workers);
}

}  // namespace

int run_solve(const SolveOptions& options) {
  TableCache cache(cache_directory(options.cache), note);
  Stopwatch watch;
  std::optional<SolvedGame> game = SolvedGame::from_cache(options.checkers, cache);
  const bool loaded = game.has_value();
  if (!loaded) {
    game = solve(options);
    if (!game) return kInterrupted;
    game->store(cache);
  }
  const Position start = start_position(options.checkers);
  SolvedSummary summary;
  summary.checkers = options.checkers;
  summary.positions = game->positions();
  summary.start = start;
  summary.before_roll = game->outcomes(start);
  summary.opening_winner = opening_winner(*game);
  SolvedTelling telling;
  telling.seconds = watch.lap();
  telling.loaded = loaded;
  const std::string name = SolvedGame::cache_name(options.checkers);
  if (cache.has(name)) telling.file = cache.file(name).string();
  print(options.json ? solved_json(summary, telling) + "\n" : solved_text(summary, telling));
  return kDone;
}

}  // namespace sixfold::tools
