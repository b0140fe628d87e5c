// Folds what the engine computes into 64-bit hashes of integers: tree counts, network outputs to
// the bit, chosen plays, trial results. Prints one line a kind; bench/signature.txt holds the
// expected lines. Run as: sixfold_signature NET LEVEL THREADS
#include <bit>
#include <cstdio>
#include <cstdlib>

#include "base/hash.h"
#include "base/input_error.h"
#include "evaluator/network_file.h"
#include "rollout/luck.h"
#include "rollout/random_stream.h"
#include "rollout/rollout.h"
#include "rules/start.h"
#include "rules/tree_count.h"
#include "session/core.h"

namespace {

using namespace sixfold;

/// Of 64-bit words.
class Hash {
 public:
  void add(std::uint64_t word) { value_ = hash_step(value_, word); }
  void add(double number) { add(std::bit_cast<std::uint64_t>(number)); }
  void add(const OutcomeDistribution& outcomes) {
    for (const double p : outcomes.probability) add(p);
  }
  void add(PlayKey play) {
    add(static_cast<std::uint64_t>(play.bits()));
    add(static_cast<std::uint64_t>(play.bits() >> 64));
  }
  void print(const char* kind) const {
    std::printf("%-8s %016llx\n", kind, static_cast<unsigned long long>(value_));
  }

 private:
  std::uint64_t value_ = kHashOfNothing;
};

void tree() {
  Hash hash;
  for (int depth = 1; depth <= 2; ++depth) {
    const TreeCount count = count_plays(start_position(), depth);
    hash.add(count.plays);
    hash.add(count.weighted);
  }
  hash.print("tree");
}

/// Greedy games: all children's outputs, the plays chosen, and the luck of the rolls.
void games(const Evaluator& evaluator, const LuckSource& networks) {
  Hash outputs;
  Hash luck;
  Hash chosen;
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < 50; ++game) {
    RandomStream dice(1, game);
    Position position = start_position();
    while (!game_over(position)) {
      const Roll roll = dice.roll();
      luck.add(networks.luck(position, roll, kMoneyWorth, scratch).outcomes);
      const Choice choice = best_play(evaluator, position, roll, kMoneyWorth, scratch);
      for (std::size_t i = 0; i < scratch.plays.size(); ++i) outputs.add(scratch.outcomes[i]);
      chosen.add(choice.play);
      position = position_after(position, choice.play);
    }
  }
  outputs.print("outputs");
  chosen.print("plays");
  luck.print("luck");
}

/// Numbers, too, are the same to the bit: the tables use neither threads' order nor contraction.
void exact(int threads) {
  Workers workers(threads);
  TableCache cache;
  ExactTables tables = ExactTables::bear_offs(kHomePoints, workers, cache);
  SolvedGame::Settings one_checker;
  tables.game = std::make_shared<SolvedGame>(*SolvedGame::solve(one_checker, workers));
  Hash hash;
  const SideIndex index(kHomePoints, TwoSidedTable::kCheckers);
  for (std::uint32_t roller = 1; roller < index.size(); ++roller) {
    Position position{index.side(roller), index.side(index.size() - roller)};
    for (Side* side : {&position.roller, &position.opponent}) {
      side->add(kOff, kMaxCheckers - side->total());
    }
    hash.add(tables.two_sided->entry(position).centred);
    hash.add(*tables.exact(position));
    hash.add(*tables.race(position));
  }
  tables.game->for_each_position(
      [&](const Position& position) { hash.add(tables.game->outcomes(position)); });
  hash.print("exact");
}

void trials(const Evaluator& evaluator, const LuckSource* luck, const char* kind, int threads) {
  RolloutSettings settings;
  if (luck != nullptr) settings.luck = LuckControl::kEstimated;
  settings.trials = 72;
  ThreadRunner runner(threads);
  const Position start = start_position();
  PlayList plays;
  generate_plays(start, make_roll(3, 1), plays);
  Hash hash;
  for (const char* score : {"money", "gammon-go"}) {
    const RolloutResult result =
        roll_out({evaluator, luck}, start, plays.span().first(4),
                 parse_score(score, own_match_equities()), settings, runner);
    for (const RolledPlay& play : result.plays) {
      hash.add(play.play);
      hash.add(play.equity.mean);
      hash.add(play.cost.half_width);
    }
  }
  hash.print(kind);
}

/// How alive the cube is after all plays of ten games, and rollouts with it.
void cube(const Evaluator& evaluator, const LuckSource& luck, int threads) {
  Hash hash;
  ChoiceScratch scratch;
  const CubeRules money(money_score(), {}, {}, nullptr);
  for (std::uint64_t game = 0; game < 10; ++game) {
    RandomStream dice(2, game);
    Position position = start_position();
    while (!game_over(position)) {
      const Choice choice = best_play(evaluator, position, dice.roll(),
                                      {money, money.start(), CubeSide::kPlayer}, scratch);
      for (std::size_t i = 0; i < scratch.plays.size(); ++i) {
        const auto& [own, opponents, centred_own, centred_opponents] = scratch.outlooks[i].lives;
        for (const double life : {own, opponents, centred_own, centred_opponents}) hash.add(life);
      }
      hash.add(choice.play);
      position = position_after(position, choice.play);
    }
  }
  RolloutSettings settings;
  settings.luck = LuckControl::kEstimated;
  settings.trials = 72;
  ThreadRunner runner(threads);
  const Position start = start_position();
  PlayList plays;
  generate_plays(start, make_roll(3, 1), plays);
  for (const char* name : {"money", "3-away/5-away"}) {
    const Score score = parse_score(name, own_match_equities());
    const RolloutResult result = roll_out({evaluator, &luck}, start, plays.span().first(3), score,
                                          settings, runner, CubeRules(score, {}, {}, nullptr));
    for (const RolledPlay& play : result.plays) {
      hash.add(play.play);
      hash.add(play.equity.mean);
      hash.add(play.cost.half_width);
    }
  }
  hash.print("cube");
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    std::fputs("usage: sixfold_signature NET LEVEL THREADS\n", stderr);
    return 2;
  }
  try {
    const int threads = std::atoi(argv[3]);
    Engine engine(
        {.net = argv[1], .threads = threads, .instruction_set = argv[2], .race_points = 0});
    const Core& core = engine.core();
    tree();
    games(core.evaluator(), core.required_luck());
    trials(core.evaluator(), nullptr, "trials", threads);
    trials(core.evaluator(), core.luck(), "adjusted", threads);
    cube(core.evaluator(), core.required_luck(), threads);
    exact(threads);
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_signature: %s\n", error.what());
    return 1;
  }
}
