// Networks against exact truth: errors of static values, and what the plays chosen by them cost.
// Run as: sixfold_exact_gap CACHE NET... (CACHE: a directory for tables; nets for games of 1 to 3
// checkers are held against the solved game, others against the two-sided bear-off table)
#include "base/input_error.h"
#include "bench/gap.h"
#include "evaluator/network_file.h"
#include "rollout/random_stream.h"
#include "rules/start.h"
#include "session/core.h"

namespace {

using namespace sixfold;

void own_play(const Evaluator& net, const ExactTables& tables, int checkers) {
  constexpr std::uint64_t kGames = 20'000;
  Gap all(net, tables);
  Gap contact(net, tables);
  Gap race(net, tables);
  for (std::uint64_t game = 0; game < kGames; ++game) {
    RandomStream dice(2, game);
    Position position = start_position(checkers);
    while (!game_over(position)) {
      const Roll roll = dice.roll();
      Gap& part = is_race(position) ? race : contact;
      all.add_value(position);
      part.add_value(position);
      part.add_decision(position, roll);
      position = all.add_decision(position, roll);
    }
  }
  all.print("in its own play");
  contact.print("... with contact");
  race.print("... races");
}

void all_positions(const Evaluator& net, const ExactTables& tables) {
  const std::size_t every = std::max<std::size_t>(1, tables.game->positions() / 200'000);
  Gap gap(net, tables);
  std::size_t count = 0;
  tables.game->for_each_position([&](const Position& position) {
    if (count++ % every != 0) return;
    gap.add_value(position);
    gap.add_decision(position, kRolls[count / every % kRollCount]);
  });
  gap.print(every == 1 ? "over all positions" : "over evenly drawn ones");
}

void note(const std::string& line) { std::fprintf(stderr, "%s\n", line.c_str()); }

void report(const char* file, const char* directory) {
  Engine engine({.net = file, .cache = directory, .note = note});
  const NetworkFile& network = engine.core().file();
  const int checkers = network.card.checkers;
  std::printf("%s/%s: %d checkers, %s, %llu games\n", file, network_identity(network).c_str(),
              checkers, network.card.recipe.c_str(),
              static_cast<unsigned long long>(network.card.games));
  const NetworkEvaluator net(network.networks);
  ExactTables tables = engine.core().tables();
  if (checkers > SolvedGame::kMostCheckers) {
    bear_offs(net, tables);
    return;
  }
  TableCache cache(directory, note);
  std::optional<SolvedGame> game = SolvedGame::from_cache(checkers, cache);
  if (!game) {
    SolvedGame::Settings settings;
    settings.checkers = checkers;
    Workers workers(engine.core().threads());
    game = SolvedGame::solve(settings, workers);
    game->store(cache);
  }
  tables.game = std::make_shared<SolvedGame>(std::move(*game));
  own_play(net, tables, checkers);
  all_positions(net, tables);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) {
    std::fputs("usage: sixfold_exact_gap CACHE NET...\n", stderr);
    return 2;
  }
  try {
    for (int i = 2; i < argc; ++i) report(argv[i], argv[1]);
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_exact_gap: %s\n", error.what());
    return 1;
  }
}
