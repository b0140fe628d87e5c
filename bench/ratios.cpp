// The engine's speed as ratios, all measured in one process, interleaved, medians of several
// rounds: a busy machine slows both sides of a ratio alike. Run as: sixfold_ratios NET [ROUNDS]
#include <sys/resource.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "base/input_error.h"
#include "bench/dense_forward.h"
#include "bench/median.h"
#include "bench/turns.h"
#include "encoding/features.h"
#include "evaluator/network_file.h"
#include "oracles/plays_oracle.h"
#include "rollout/luck.h"
#include "rollout/random_stream.h"
#include "rollout/rollout.h"
#include "rules/start.h"
#include "session/core.h"

namespace {

using namespace sixfold;

double seconds_of(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

constexpr std::uint64_t kGames = 40;

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

void levels(const Networks& networks, const Turns& turns, int rounds) {
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

/// Greedy games a second, and the luck networks' time for a position.
void luck_speed(const Core& core, const Turns& turns, int rounds) {
  const Evaluator& evaluator = core.evaluator();
  const LuckSource* const network = core.luck();
  ChoiceScratch scratch;
  std::vector<double> choosing;
  std::vector<double> luck;
  double sum = 0.0;
  const auto turns_count = static_cast<double>(turns.list.size());
  for (int round = 0; round < rounds; ++round) {
    choosing.push_back(
        seconds_of([&] {
          for (const Turn& turn : turns.list) {
            sum += best_play(evaluator, turn.position, turn.roll, kMoneyWorth, scratch).outcomes[0];
          }
        }) /
        turns_count);
    if (network == nullptr) continue;
    luck.push_back(
        seconds_of([&] {
          for (const Turn& turn : turns.list) {
            sum += network->luck(turn.position, turn.roll, kMoneyWorth, scratch).outcomes[0];
          }
        }) /
        turns_count);
  }
  std::printf("greedy play: %.0f games a second\n",
              static_cast<double>(kGames) / (median(choosing) * turns_count));
  if (network) {
    std::printf("luck networks: %.0f ns a position, %.2f of a choice (%.0f)\n", 1e9 * median(luck),
                median(luck) / median(choosing), sum);
  }
}

/// Dense float features of all children of each turn in contact.
struct DenseTurn {
  std::vector<float> features;
  std::size_t children = 0;
};

std::vector<DenseTurn> dense_turns(const std::vector<Turn>& turns) {
  std::vector<std::vector<WeightedFeature>> of_row;
  for (int row = 0; row < kRowCount; ++row) of_row.push_back(features_of_row(row));
  std::vector<DenseTurn> dense;
  PlayList plays;
  for (const Turn& turn : turns) {
    generate_plays(turn.position, turn.roll, plays);
    DenseTurn one{std::vector<float>(plays.size() * kFeatureCount), plays.size()};
    for (std::size_t i = 0; i < plays.size(); ++i) {
      for (const Row row : active_rows(position_after(turn.position, plays[i]))) {
        for (const WeightedFeature& entry : of_row[row]) {
          one.features[i * kFeatureCount + static_cast<std::size_t>(entry.feature)] += entry.weight;
        }
      }
    }
    dense.push_back(std::move(one));
  }
  return dense;
}

/// The evaluator against dense passes of the contact network over the same children; the dense ones
/// find their features prepared.
void dense(const Networks& networks, const Turns& turns, int rounds) {
  Turns few;
  PlayList plays;
  for (std::size_t i = 0; i < turns.list.size() && few.list.size() < 300; i += 3) {
    if (is_race(turns.list[i].position)) continue;
    few.list.push_back(turns.list[i]);
    generate_plays(turns.list[i].position, turns.list[i].roll, plays);
    few.plays += static_cast<double>(plays.size());
  }
  const std::vector<DenseTurn> inputs = dense_turns(few.list);
  const NetworkEvaluator evaluator(networks);
  std::vector<OutcomeDistribution> outcomes(kMaxPlays);
  const auto compare = [&](const char* name, std::unique_ptr<DenseForward> forward) {
    if (forward == nullptr) return std::printf("%s: not built in\n", name);
    std::vector<double> ratios;
    for (int round = 0; round <= rounds; ++round) {
      float sum = 0.0f;
      const double theirs = seconds_of([&] {
        for (const DenseTurn& turn : inputs) sum += *forward->run(turn.features, turn.children);
      });
      const double ours = seconds_of([&] {
        for (const Turn& turn : few.list) {
          generate_plays(turn.position, turn.roll, plays);
          evaluator.evaluate_children(turn.position, plays.span(),
                                      std::span(outcomes).first(plays.size()));
        }
      });
      if (round > 0 && sum > 0.0f) ratios.push_back(theirs / ours);
    }
    return std::printf("%s, dense floats: %.1f times our time, generation included\n", name,
                       median(ratios));
  };
  if (best_instruction_set() != InstructionSet::kScalar)
    compare("Eigen", eigen_forward(networks.contact));
  compare("oneDNN", onednn_forward(networks.contact));
}

/// The score for money and whether a luck network is used.
RolloutResult opening_31(const Evaluator& evaluator, const LuckSource* luck, std::uint64_t trials,
                         int threads, double half_width) {
  RolloutSettings settings;
  settings.trials = trials;
  if (luck != nullptr) settings.luck = LuckControl::kEstimated;
  settings.half_width = half_width;
  settings.most_trials = 1'000'000;
  const Position start = start_position();
  PlayList plays;
  generate_plays(start, make_roll(3, 1), plays);
  ThreadRunner runner(threads);
  return roll_out({evaluator, luck}, start, plays.span(), money_score(), settings, runner);
}

/// Times that a user waits for.
void waits(const Evaluator& evaluator, const LuckSource* luck, int rounds) {
  std::vector<double> speedup;
  for (int round = 0; round < rounds; ++round) {
    const double one = seconds_of([&] { opening_31(evaluator, luck, 432, 1, 0.0); });
    const double two = seconds_of([&] { opening_31(evaluator, luck, 432, 2, 0.0); });
    speedup.push_back(one / two);
  }
  std::printf("two threads against one: %.2f times as fast\n", median(speedup));
  RolloutResult result;
  const double all = seconds_of([&] { result = opening_31(evaluator, luck, 1296, 2, 0.0); });
  const RolledPlay& best = result.plays.front();
  std::printf("opening 31, all %zu plays, 1296 trials each, 2 threads: %.1f s\n",
              result.plays.size(), all);
  // The error falls with the root of the trials.
  const double error = 1.96 * best.equity.standard_error;
  const double seconds =
      2.0 * all / static_cast<double>(result.plays.size()) * (error / 0.005) * (error / 0.005);
  std::printf("one play to +-.005 at 95%%, one thread: %.1f s\n", seconds);
  const double contested = seconds_of([&] { result = opening_31(evaluator, luck, 360, 2, 0.005); });
  std::size_t further = 0;
  for (const RolledPlay& play : result.plays) {
    if (play.trials > 360) ++further;
  }
  std::printf(
      "opening 31, contested costs to +-.005, 2 threads: %.1f s (%zu plays beyond 360 "
      "trials, the best has %llu)\n",
      contested, further, static_cast<unsigned long long>(result.plays.front().trials));
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fputs("usage: sixfold_ratios NET [ROUNDS]\n", stderr);
    return 2;
  }
  const int rounds = argc > 2 ? std::atoi(argv[2]) : 5;
  try {
    Engine engine({.net = argv[1], .race_points = 0});
    const Core& core = engine.core();
    const Networks& networks = core.file().networks;
    const Turns turns = played_turns(core.evaluator(), kGames);
    generator(turns, rounds);
    levels(networks, turns, rounds);
    dense(networks, turns, rounds);
    luck_speed(core, turns, rounds);
    waits(core.evaluator(), core.luck(), rounds);
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    std::printf("largest resident memory: %ld MB\n", usage.ru_maxrss / 1024);
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_ratios: %s\n", error.what());
    return 1;
  }
}
