// A fixed amount of one kind of work, for bench/instructions.sh to count the instructions of.
// Prints how many units of work a repeat holds.
// Run as: sixfold_instructions NET JOB REPEATS [LEVEL]
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <map>
#include <string>

#include "base/input_error.h"
#include "bench/turns.h"
#include "evaluator/network_file.h"
#include "rollout/luck.h"
#include "session/core.h"

namespace {

using namespace sixfold;

/// Does the job once; returns its units.
using Job = std::function<std::size_t()>;

std::map<std::string, Job> jobs(const Evaluator& evaluator, const LuckSource& luck,
                                const std::vector<Turn>& turns) {
  static PlayList plays;
  static ChoiceScratch scratch;
  static std::vector<OutcomeDistribution> outcomes(kMaxPlays);
  static std::vector<Outlook> outlooks(kMaxPlays);
  static const CubeRules money(money_score(), {}, {}, nullptr);
  // Calls use(position, plays) for all turns; returns how many plays there were.
  const auto for_plays = [&turns](auto use) {
    std::size_t children = 0;
    for (const Turn& turn : turns) {
      generate_plays(turn.position, turn.roll, plays);
      use(turn.position, plays.span());
      children += plays.size();
    }
    return children;
  };
  return {
      {"generate",
       [&] {
         for (const Turn& turn : turns) generate_plays(turn.position, turn.roll, plays);
         return turns.size();
       }},
      {"evaluate",
       [&evaluator, for_plays] {
         return for_plays([&](const Position& parent, std::span<const PlayKey> of_roll) {
           evaluator.evaluate_children(parent, of_roll, std::span(outcomes).first(of_roll.size()));
         });
       }},
      {"evaluate-cube",
       [&evaluator, for_plays] {
         return for_plays([&](const Position& parent, std::span<const PlayKey> of_roll) {
           evaluator.evaluate_children_with_cube(parent, of_roll,
                                                 std::span(outlooks).first(of_roll.size()));
         });
       }},
      {"choose-cube",
       [&] {
         for (const Turn& turn : turns) {
           static_cast<void>(best_play(evaluator, turn.position, turn.roll,
                                       {money, money.start(), CubeSide::kPlayer}, scratch));
         }
         return turns.size();
       }},
      {"choose",
       [&] {
         for (const Turn& turn : turns) {
           static_cast<void>(best_play(evaluator, turn.position, turn.roll, kMoneyWorth, scratch));
         }
         return turns.size();
       }},
      {"luck",
       [&] {
         for (const Turn& turn : turns) {
           static_cast<void>(luck.luck(turn.position, turn.roll, kMoneyWorth, scratch));
         }
         return turns.size();
       }},
  };
}

}  // namespace

int main(int arguments, char** values) {
  if (arguments != 4 && arguments != 5) {
    std::fprintf(stderr,
                 "usage: sixfold_instructions NET "
                 "generate|evaluate|evaluate-cube|choose|choose-cube|luck REPEATS [LEVEL]\n");
    return 2;
  }
  try {
    const char* const level = arguments == 5 ? values[4] : "";
    Engine engine({.net = values[1], .instruction_set = level, .race_points = 0});
    const Core& core = engine.core();
    const std::vector<Turn> turns = played_turns(core.evaluator(), 20).list;
    const auto all = jobs(core.evaluator(), core.required_luck(), turns);
    const auto job = all.find(values[2]);
    if (job == all.end()) throw InputError("unknown job", values[2], "one of the usage");
    std::size_t units = 0;
    for (int repeat = std::atoi(values[3]); repeat > 0; --repeat) units = job->second();
    std::printf("%zu\n", units);
  } catch (const InputError& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
  return 0;
}
