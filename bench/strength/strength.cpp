// How well a net plays, against rollouts of a fixed list of decisions.
// Run as: sixfold_strength sample NET DECISIONS
//         sixfold_strength judge NET DECISIONS JUDGEMENTS [RIVAL.safetensors]...
//         sixfold_strength sample-doubles NET DOUBLES
//         sixfold_strength judge-doubles NET DOUBLES JUDGEMENTS HALF_WIDTH
//         sixfold_strength doubles NET DOUBLES JUDGEMENTS
//         sixfold_strength cube-duel NET PAIRS
//         sixfold_strength own NET GAMES TRIALS [LUCK.safetensors]
//         sixfold_strength table NET [JUDGEMENTS.jsonl | RIVAL.safetensors]...
#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <fstream>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "base/input_error.h"
#include "bench/strength/decisions.h"
#include "bench/strength/doubling.h"
#include "bench/strength/own_play.h"
#include "bench/strength/table.h"
#include "evaluator/network_file.h"
#include "rollout/luck.h"
#include "session/core.h"

namespace {

using namespace sixfold;

constexpr double kHalfWidth = 0.006;  // of contested costs: two standard errors of .003
// Costs of the others vary by about .075 a trial (median of 256 second plays): .003 as well.
constexpr std::uint64_t kFloor = 648;
constexpr std::uint64_t kMost = 41'472;
// The judge's own candidates: those further down by its static values are hardly ever chosen.
constexpr std::size_t kMostPlays = 8;
constexpr double kWidestGap = 0.3;

std::vector<PlayKey> candidates(const Evaluator& judge, const SampledDecision& decision) {
  PlayList plays;
  generate_plays(decision.position, decision.roll, plays);
  std::vector<OutcomeDistribution> outcomes(plays.size());
  judge.evaluate_children(decision.position, plays.span(), outcomes);
  std::vector<std::pair<double, PlayKey>> ranked;
  for (std::size_t i = 0; i < plays.size(); ++i) {
    ranked.emplace_back(worth_of(outcomes[i], kMoneyWorth), plays[i]);
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<PlayKey> chosen;
  for (const auto& [worth, play] : ranked) {
    if (chosen.size() == kMostPlays || ranked.front().first - worth > kWidestGap) break;
    chosen.push_back(play);
  }
  return chosen;
}

/// What a net chooses without and with a roll of lookahead.
std::array<PlayKey, 2> choices(const Evaluator& evaluator, const SampledDecision& decision) {
  const auto& [_, position, roll] = decision;
  ChoiceScratch scratch;
  return {best_play(evaluator, position, roll, kMoneyWorth, scratch).play,
          best_play_ahead(evaluator, position, roll, kMoneyWorth, scratch).play};
}

/// Rolls out what has not been judged yet, line by line, so that it can be interrupted. What rivals
/// choose is judged too.
void judge(const char* net, const char* decisions, const char* judgements,
           std::span<char* const> rivals) {
  Engine engine({.net = net});
  Core& core = engine.core();
  const Evaluator& evaluator = core.evaluator();
  const DecisionSample sample = read_sample(decisions);
  std::vector<Engine> choosers;
  for (const char* rival : rivals) choosers.emplace_back(EngineOptions{.net = rival});
  std::map<std::size_t, JudgedDecision> done;
  for (const JudgedDecision& judged : read_judgements(judgements, sample)) {
    done[judged.number] = judged;
  }
  std::ofstream out(judgements, std::ios::app);
  for (std::size_t number = 0; number < sample.decisions.size(); ++number) {
    const SampledDecision& decision = sample.decisions[number];
    std::vector<PlayKey> plays = candidates(evaluator, decision);
    const auto judged = done.find(number);
    bool is_done = judged != done.end();
    for (Engine& chooser : choosers) {
      for (const PlayKey play : choices(chooser.core().evaluator(), decision)) {
        if (std::find(plays.begin(), plays.end(), play) == plays.end()) plays.push_back(play);
        is_done = is_done && judged->second.judgement_of(play) != nullptr;
      }
    }
    if (is_done) continue;
    RolloutSettings settings;
    settings.trials = plays.size() == 1 ? kFloor * 4 : kFloor;
    settings.half_width = kHalfWidth;
    settings.most_trials = kMost;
    settings.seed = number + 1;
    settings.luck = core.luck_control("auto");
    ThreadRunner runner(core.threads());
    const RolloutResult result = roll_out({evaluator, core.luck()}, decision.position, plays,
                                          money_score(), settings, runner);
    out << judgement_line(decision, number, result) << std::endl;
    if (!out) throw InputError("cannot be written", judgements, "a place to write to");
  }
}

// Jobs that are about doubling decisions; nothing for others.
std::optional<int> run_doubles(std::string_view job, int arguments, char** values) {
  if (job == "sample-doubles" && arguments == 4) {
    Engine engine({.net = values[2]});
    write_doubles(values[3], sample_doubles(engine.core().evaluator()));
    return 0;
  }
  if (job == "judge-doubles" && arguments == 6) {
    Engine engine({.net = values[2]});
    const double half_width = std::atof(values[5]);
    if (!(half_width > 0.0)) throw InputError("no width", "HALF_WIDTH", "a number above 0");
    judge_doubles(engine.core(), read_doubles(values[3]), values[4], half_width);
    return 0;
  }
  if (job == "doubles" && arguments == 5) {
    Engine engine({.net = values[2]});
    print_doubles(engine.core(), read_doubles(values[3]), values[4]);
    return 0;
  }
  if (job == "cube-duel" && arguments == 4) {
    Engine engine({.net = values[2]});
    const int pairs = std::atoi(values[3]);
    if (pairs < 2) throw InputError("too few", "PAIRS", "2 at least");
    print_cube_duel(engine.core(), static_cast<std::uint64_t>(pairs));
    return 0;
  }
  return std::nullopt;
}

int run(int arguments, char** values) {
  const std::string_view job = arguments > 1 ? values[1] : "";
  if (job == "sample" && arguments == 4) {
    Engine engine({.net = values[2], .race_points = 0});
    write_sample(values[3], sample_decisions(engine.core().evaluator()));
    return 0;
  }
  if (job == "judge" && arguments >= 5) {
    judge(values[2], values[3], values[4], std::span(values, values + arguments).subspan(5));
    return 0;
  }
  if (const auto done = run_doubles(job, arguments, values)) return *done;
  if (job == "own" && (arguments == 5 || arguments == 6)) {
    const int games = std::atoi(values[3]);
    const int trials = std::atoi(values[4]);
    if (games < 1 || trials < 2) throw InputError("too few", "GAMES TRIALS", "1 and 2 at least");
    print_own_play(values[2], values[arguments == 6 ? 5 : 2], games, trials, available_threads());
    return 0;
  }
  if (job == "table" && arguments >= 3) {
    TableInputs inputs{values[2], {}, {}, SIXFOLD_SOURCE, available_threads()};
    for (int i = 3; i < arguments; ++i) {
      const std::string_view file = values[i];
      (file.ends_with(".jsonl") ? inputs.judgements : inputs.rivals).emplace_back(file);
    }
    print_strength(inputs);
    return 0;
  }
  std::fputs(
      "usage: sixfold_strength sample NET DECISIONS\n"
      "       sixfold_strength judge NET DECISIONS JUDGEMENTS [RIVAL.safetensors]...\n"
      "       sixfold_strength sample-doubles NET DOUBLES\n"
      "       sixfold_strength judge-doubles NET DOUBLES JUDGEMENTS HALF_WIDTH\n"
      "       sixfold_strength doubles NET DOUBLES JUDGEMENTS\n"
      "       sixfold_strength cube-duel NET PAIRS\n"
      "       sixfold_strength own NET GAMES TRIALS [LUCK.safetensors]\n"
      "       sixfold_strength table NET [JUDGEMENTS.jsonl | RIVAL.safetensors]...\n",
      stderr);
  return 2;
}

}  // namespace

int main(int arguments, char** values) {
  try {
    return run(arguments, values);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
}
