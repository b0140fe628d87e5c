// The engine's speed as ratios, all measured in one process, interleaved, medians of several
// rounds: a busy machine slows both sides of a ratio alike. Run as: sixfold_ratios NET [ROUNDS]
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <vector>

#include "evaluator/network_file.h"
#include "oracles/plays_oracle.h"
#include "rollout/random_stream.h"
#include "rollout/rollout.h"
#include "rules/input_error.h"
#include "rules/start.h"

namespace {

using namespace sixfold;

double seconds_of(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

struct Turn {
  Position position;
  Roll roll;
};

/// The turns of a few games, and how many plays they have.
struct Turns {
  std::vector<Turn> list;
  double plays = 0.0;
};

Turns played_turns(const Evaluator& evaluator) {
  const OutcomeWorth money = parse_score("money").worth;
  Turns turns;
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < 40; ++game) {
    RandomStream dice(7, game);
    Position position = start_position();
    while (!game_over(position)) {
      const Roll roll = dice.roll();
      turns.list.push_back({position, roll});
      const Choice choice = best_play(evaluator, position, roll, money, scratch);
      turns.plays += static_cast<double>(scratch.plays.size());
      position = position_after(position, choice.play);
    }
  }
  return turns;
}

void generator(const Turns& turns, int rounds) {
  std::vector<double> ratio;
  std::vector<double> ours;
  PlayList plays;
  std::size_t sum = 0;
  for (int round = 0; round < rounds; ++round) {
    const double fast = seconds_of([&] {
                          for (int repeat = 0; repeat < 20; ++repeat) {
                            for (const Turn& turn : turns.list) {
                              generate_plays(turn.position, turn.roll, plays);
                              sum += plays.size();
                            }
                          }
                        }) /
                        20;
    const double slow = seconds_of([&] {
      for (const Turn& turn : turns.list) sum += oracle::results(turn.position, turn.roll).size();
    });
    ratio.push_back(slow / fast);
    ours.push_back(fast / static_cast<double>(turns.list.size()));
  }
  std::printf(
      "generator: %.2f million rolls a second; brute-force oracle takes %.0f times as long"
      " (%zu)\n",
      1e-6 / median(ours), median(ratio), sum % 10);
}

void levels(const NetworkPair& networks, const Turns& turns, int rounds) {
  std::vector<std::vector<double>> times(kInstructionSetNames.size());
  PlayList plays;
  std::vector<OutcomeDistribution> outcomes(kMaxPlays);
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t level = 0; level < times.size(); ++level) {
      if (!is_available(static_cast<InstructionSet>(level))) continue;
      const NetworkEvaluator evaluator(networks, static_cast<InstructionSet>(level));
      double seconds = 0.0;
      for (const Turn& turn : turns.list) {
        generate_plays(turn.position, turn.roll, plays);
        seconds += seconds_of([&] {
          evaluator.evaluate_children(turn.position, plays.span(),
                                      std::span(outcomes).first(plays.size()));
        });
      }
      times[level].push_back(seconds / turns.plays);
    }
  }
  for (std::size_t level = 0; level < times.size(); ++level) {
    if (times[level].empty()) continue;
    std::printf("evaluator, %s: %.0f ns a child, %.2f of scalar\n",
                kInstructionSetNames[level].data(), 1e9 * median(times[level]),
                median(times[level]) / median(times[0]));
  }
}

RolloutResult opening_31(const Evaluator& evaluator, std::uint64_t trials, int threads,
                         bool plain) {
  RolloutSettings settings;
  settings.trials = trials;
  settings.threads = threads;
  if (plain) settings.make_plain();
  const Position start = start_position();
  PlayList plays;
  generate_plays(start, make_roll(3, 1), plays);
  return roll_out(evaluator, start, plays.span(), parse_score("money"), settings);
}

void rollouts(const Evaluator& evaluator, int rounds) {
  std::vector<double> speedup;
  std::vector<double> efficiency;
  for (int round = 0; round < rounds; ++round) {
    const double one = seconds_of([&] { opening_31(evaluator, 144, 1, false); });
    const double two = seconds_of([&] { opening_31(evaluator, 144, 2, false); });
    speedup.push_back(one / two);
  }
  RolloutResult plain;
  RolloutResult adjusted;
  const double plain_seconds =
      seconds_of([&] { plain = opening_31(evaluator, 5184, 2, true); }) / 5184;
  const double seconds = seconds_of([&] { adjusted = opening_31(evaluator, 1296, 2, false); });
  const auto variance = [](const RolloutResult& result) {
    std::vector<double> values;
    for (const RolledPlay& play : result.plays) {
      const double error = play.equity.standard_error;
      values.push_back(error * error * static_cast<double>(play.trials));
    }
    return median(values);
  };
  const double factor = variance(plain) / variance(adjusted);
  const double cost = seconds / 1296 / plain_seconds;
  std::printf("two threads against one: %.2f times as fast\n", median(speedup));
  std::printf(
      "luck-adjusted against plain trials, opening 31: variance factor %.1f, cost %.1f, "
      "efficiency %.2f\n",
      factor, cost, factor / cost);
  std::printf("opening 31, all %zu plays, 1296 luck-adjusted trials each, 2 threads: %.1f s\n",
              adjusted.plays.size(), seconds);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fputs("usage: sixfold_ratios NET [ROUNDS]\n", stderr);
    return 2;
  }
  const int rounds = argc > 2 ? std::atoi(argv[2]) : 5;
  try {
    const NetworkPair networks = load_network(argv[1]).networks;
    const NetworkEvaluator evaluator(networks);
    const Turns turns = played_turns(evaluator);
    generator(turns, rounds);
    levels(networks, turns, rounds);
    rollouts(evaluator, rounds);
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    std::printf("largest resident memory: %ld MB\n", usage.ru_maxrss / 1024);
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_ratios: %s\n", error.what());
    return 1;
  }
}
