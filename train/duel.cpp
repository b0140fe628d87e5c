#include "train/duel.h"

#include <algorithm>
#include <cmath>
#include <mutex>
#include <utility>
#include <vector>

#include "base/workers.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kPairsATask = 16;

/// What the result is worth to the player who starts; `worth` is what outcomes are to him. From the
/// usual start the first roll is no doubles.
double play(const Evaluator& starter, const Evaluator& other, const Position& start, bool usual,
            const OutcomeWorth& worth, RandomStream random, ChoiceScratch& scratch) {
  const OutcomeWorth others = opponents_worth(worth);
  Position position = start;
  Roll roll = random.roll();
  while (usual && roll.is_doubles()) roll = random.roll();
  bool starter_on_roll = true;
  while (true) {
    if (const auto result = game_result(position)) {
      return starter_on_roll ? worth_of(certain(*result), worth)
                             : -worth_of(certain(*result), others);
    }
    const Evaluator& player = starter_on_roll ? starter : other;
    const OutcomeWorth& own = starter_on_roll ? worth : others;
    position = position_after(position, best_play(player, position, roll, own, scratch).play);
    starter_on_roll = !starter_on_roll;
    roll = random.roll();
  }
}

struct Sums {
  std::uint64_t pairs = 0;
  double points = 0.0;
  double squares = 0.0;
  std::uint64_t wins = 0;
};

void add(Sums& total, const Sums& part) {
  total.pairs += part.pairs;
  total.points += part.points;
  total.squares += part.squares;
  total.wins += part.wins;
}

DuelResult result_of(const Sums& total) {
  DuelResult result;
  result.pairs = total.pairs;
  if (total.pairs == 0) return result;
  const auto n = static_cast<double>(total.pairs);
  result.points_per_game = total.points / n;
  result.win_fraction = static_cast<double>(total.wins) / (2.0 * n);
  if (total.pairs > 1) {
    const double variance = (total.squares - total.points * result.points_per_game) / (n - 1.0);
    result.standard_error = std::sqrt(std::max(variance, 0.0) / n);
  }
  return result;
}

}  // namespace

DuelResult duel(const Evaluator& first, const Evaluator& second, const DuelSettings& settings) {
  const bool usual = settings.starts.empty();
  const Position usual_start = start_position(settings.checkers);
  const std::uint64_t tasks = (settings.pairs + kPairsATask - 1) / kPairsATask;
  std::vector<Sums> sums(tasks);
  Sums so_far;  // In the order in which threads finish: for progress alone.
  std::mutex mutex;
  Workers workers(settings.threads);
  workers.for_each(tasks, [&](std::size_t task) {
    if (settings.stop != nullptr && *settings.stop) return;
    ChoiceScratch scratch;
    Sums& at = sums[task];
    const std::uint64_t begin = task * kPairsATask;
    const std::uint64_t end = std::min(begin + kPairsATask, settings.pairs);
    for (std::uint64_t pair = begin; pair < end; ++pair) {
      const RandomStream dice(settings.seed, pair);
      const Position& start = usual ? usual_start : settings.starts[pair % settings.starts.size()];
      const OutcomeWorth worth =
          pair % 2 == 0 ? settings.score.worth : opponents_worth(settings.score.worth);
      const double as_starter = play(first, second, start, usual, worth, dice, scratch);
      const double as_other = -play(second, first, start, usual, worth, dice, scratch);
      const double mean = (as_starter + as_other) / 2.0;
      at.pairs += 1;
      at.points += mean;
      at.squares += mean * mean;
      at.wins += (as_starter > 0.0 ? 1u : 0u) + (as_other > 0.0 ? 1u : 0u);
    }
    if (!settings.progress) return;
    const std::lock_guard lock(mutex);
    add(so_far, at);
    settings.progress(result_of(so_far));
  });
  Sums total;
  for (const Sums& part : sums) add(total, part);
  return result_of(total);
}

}  // namespace sixfold
