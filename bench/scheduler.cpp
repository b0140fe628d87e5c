// How busy many threads would stay: plays a rollout's trials one by one, takes the time of each,
// and simulates the handing out of turns (exact/workers.h: in order, one at a time, to the thread
// that is free first) to 2 to 128 workers. Prints the share of their time that they work.
//
// Run as: sixfold_scheduler NET [BLOCKS]
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <queue>
#include <vector>

#include "base/input_error.h"
#include "evaluator/network_file.h"
#include "rollout/dice_plan.h"
#include "rollout/luck.h"
#include "rollout/trial.h"
#include "rules/start.h"
#include "session/core.h"

namespace {

using namespace sixfold;

/// Seconds until all turns are done.
double makespan(const std::vector<double>& turns, std::size_t workers) {
  std::priority_queue<double, std::vector<double>, std::greater<>> free_at;
  for (std::size_t w = 0; w < workers; ++w) free_at.push(0.0);
  double last = 0.0;
  for (const double turn : turns) {
    const double end = free_at.top() + turn;
    free_at.pop();
    free_at.push(end);
    last = std::max(last, end);
  }
  return last;
}

/// The share of their time that workers are busy when rounds of turns follow one another.
double busy(const std::vector<std::vector<double>>& rounds, std::size_t workers) {
  double work = 0.0;
  double time = 0.0;
  for (const std::vector<double>& turns : rounds) {
    for (const double turn : turns) work += turn;
    time += makespan(turns, workers);
  }
  return work / (time * static_cast<double>(workers));
}

/// Times of trials in the order in which they are handed out: block by block, over all plays.
std::vector<double> timed_turns(const TrialRules& rules, const std::vector<Position>& plays,
                                std::uint64_t blocks) {
  std::vector<double> turns;
  ChoiceScratch scratch;
  for (std::uint64_t block = 0; block < blocks; ++block) {
    for (const Position& after : plays) {
      for (std::uint64_t i = 0; i < kBlockTrials; ++i) {
        const auto start = std::chrono::steady_clock::now();
        static_cast<void>(play_trial(rules, {after}, block * kBlockTrials + i, scratch));
        turns.push_back(
            std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
      }
    }
  }
  return turns;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fputs("usage: sixfold_scheduler NET [BLOCKS]\n", stderr);
    return 2;
  }
  const std::uint64_t blocks = argc > 2 ? static_cast<std::uint64_t>(std::atoi(argv[2])) : 216;
  try {
    Engine engine({.net = argv[1], .race_points = 0});
    const Evaluator& evaluator = engine.core().evaluator();
    const EvaluatorPlayer player(evaluator);
    TrialRules rules;
    rules.player = &player;
    rules.luck = &engine.core().required_luck();
    rules.evaluator = &evaluator;
    rules.worth = kMoneyWorth;
    PlayList plays;
    const Position start = start_position();
    generate_plays(start, make_roll(3, 1), plays);
    std::vector<Position> after;
    for (const PlayKey play : plays) after.push_back(position_after(start, play));
    const std::vector<double> all = timed_turns(rules, after, blocks);

    // Two contested plays go on by half of what they have, twelve times: the turns of the first
    // two plays, over and over.
    std::vector<double> pair;
    for (std::size_t i = 0; i < all.size(); i += plays.size() * kBlockTrials) {
      for (std::size_t j = 0; j < 2 * kBlockTrials; ++j) pair.push_back(all[i + j]);
    }
    std::vector<std::vector<double>> rounds{all};
    std::size_t next = 0;
    double have = static_cast<double>(blocks);
    for (int round = 0; round < 12; ++round) {
      std::vector<double> turns;
      for (std::size_t i = 0; i < static_cast<std::size_t>(have) * kBlockTrials; ++i) {
        turns.push_back(pair[next++ % pair.size()]);
      }
      rounds.push_back(turns);
      have *= 1.5;
    }
    double sum = 0.0;
    for (const double turn : all) sum += turn;
    const auto longest = *std::max_element(all.begin(), all.end());
    std::printf(
        "opening 31, %zu plays, %llu blocks each: %.2f ms a trial on average, %.2f at most\n",
        plays.size(), static_cast<unsigned long long>(blocks),
        1e3 * sum / static_cast<double>(all.size()), 1e3 * longest);
    std::printf("%8s %22s %34s\n", "workers", "all plays, busy",
                "then 12 rounds of two plays, busy");
    for (const std::size_t workers : {2u, 4u, 8u, 16u, 32u, 64u, 128u}) {
      std::printf("%8zu %21.1f%% %33.1f%%\n", workers, 100.0 * busy({all}, workers),
                  100.0 * busy(rounds, workers));
    }
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_scheduler: %s\n", error.what());
    return 1;
  }
}
