#include "train/sample.h"

#include <algorithm>
#include <array>
#include <cassert>

#include "base/hash.h"
#include "base/workers.h"
#include "rollout/rollout.h"
#include "rules/game_result.h"
#include "rules/start.h"

namespace sixfold {
namespace {

/// Games that are played at a time: enough to keep many threads busy.
constexpr std::uint64_t kGamesARound = 64;

/// A position, and what outcomes are worth to its side on roll.
struct Turn {
  SampledPosition told;
  OutcomeWorth worth;
};

std::vector<Turn> turns_of_game(const TrialPlayers& players, const SampleSettings& settings,
                                const Position& usual_start, std::uint64_t game) {
  const auto& starts = settings.starts;
  const Position& start = starts.empty() ? usual_start : starts[game % starts.size()];
  std::array<OutcomeWorth, 2> worths{settings.score.worth, opponents_worth(settings.score.worth)};
  if (game % 2 == 1) std::swap(worths[0], worths[1]);
  ChoiceScratch scratch;
  const GameRecord record = play_game(players.evaluator, start, worths[0], settings.seed, game,
                                      scratch, settings.exploration);
  const std::size_t count = record.rolls.size();
  const Outcome last = *game_result(record.positions.back());
  std::vector<Turn> turns;
  for (std::size_t t = 0; t < count; ++t) {
    const Position& position = record.positions[t];
    const bool same_side = (count - t) % 2 == 0;
    turns.push_back(
        {{position, players.evaluator.evaluate(position), {}, same_side ? last : reversed(last)},
         worths[t % 2]});
  }
  return turns;
}

/// Position number `number` gets what its trials come to, unless it was stopped before.
void roll_out(Turn& turn, std::uint64_t number, const TrialPlayers& players,
              const SampleSettings& settings) {
  RolloutSettings rolling;
  rolling.trials = settings.trials;
  // With common dice all positions would err the same way.
  rolling.seed = hash_step(hash_step(kHashOfNothing, settings.seed), number);
  rolling.luck = players.luck != nullptr ? LuckControl::kEstimated : LuckControl::kFull;
  ThreadRunner runner(1, {settings.stop});
  const auto rolled = roll_out_position(players, turn.told.position, turn.worth, rolling, runner);
  if (!rolled) return;
  turn.told.standard_errors.emplace();
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    const Estimate& outcome = rolled->outcomes[o];
    turn.told.outcomes[o] = outcome.mean;
    // The spread alone says nothing of outcomes that no trial has shown; half-widths do.
    (*turn.told.standard_errors)[o] =
        outcome.half_width / block_quantile(outcome.blocks, rolling.confidence);
  }
}

}  // namespace

std::vector<SampledPosition> sample(const TrialPlayers& players, const SampleSettings& settings) {
  const Position usual_start = start_position(settings.checkers);
  const auto stopped = [&] { return settings.stop != nullptr && *settings.stop; };
  std::vector<SampledPosition> sampled;
  Workers workers(settings.threads);
  for (std::uint64_t first = 0; sampled.size() < settings.positions; first += kGamesARound) {
    std::array<std::vector<Turn>, kGamesARound> games;
    workers.for_each(kGamesARound, [&](std::size_t game) {
      if (!stopped()) games[game] = turns_of_game(players, settings, usual_start, first + game);
    });
    std::vector<Turn> turns;
    for (const std::vector<Turn>& game : games) {
      turns.insert(turns.end(), game.begin(), game.end());
    }
    turns.resize(std::min<std::uint64_t>(turns.size(), settings.positions - sampled.size()));
    std::atomic<std::uint64_t> finished{sampled.size()};
    workers.for_each(settings.trials > 0 ? turns.size() : 0, [&](std::size_t t) {
      if (stopped()) return;
      roll_out(turns[t], sampled.size() + t, players, settings);
      if (settings.progress) settings.progress(++finished);
    });
    if (stopped()) return {};
    for (const Turn& turn : turns) sampled.push_back(turn.told);
    if (settings.progress) settings.progress(sampled.size());
  }
  return sampled;
}

}  // namespace sixfold
