// Networks against exact truth: errors of static values, and what the plays chosen by them cost.
// Run as: sixfold_exact_gap CACHE NET... (CACHE: a directory for tables; nets for games of 1 to 3
// checkers are held against the solved game, others against the two-sided bear-off table)
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "evaluator/network_file.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/input_error.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace {

using namespace sixfold;

constexpr OutcomeWorth kMoney{-3, -2, -1, 1, 2, 3};

/// Errors of static equities and costs of plays, over some positions and rolls.
class Gap {
 public:
  Gap(const Evaluator& net, const ExactTables& tables) : net_(net), tables_(tables) {}

  void add_value(const Position& position) {
    const double error = worth_of(net_.evaluate(position), kMoney) - true_equity(position);
    squares_ += error * error;
    sum_ += error;
    if (std::abs(error) > std::abs(worst_)) {
      worst_ = error;
      worst_position_ = position;
    }
    ++values_;
  }

  /// The play that the net chooses; its cost is counted.
  Position add_decision(const Position& position, Roll roll) {
    const Choice choice = best_play(net_, position, roll, kMoney, scratch_);
    double best = -9.0;
    for (const PlayKey play : scratch_.plays) best = std::max(best, equity_after(position, play));
    const double cost = best - equity_after(position, choice.play);
    costs_ += cost;
    dearest_ = std::max(dearest_, cost);
    ++decisions_;
    choices_ += scratch_.plays.size() > 1 ? 1u : 0u;
    return position_after(position, choice.play);
  }

  void print(const char* where) const {
    const auto n = static_cast<double>(values_);
    std::printf("  %-22s rms %.4f  bias %+.4f  worst %+.3f at %s\n", where, std::sqrt(squares_ / n),
                sum_ / n, worst_, position_text(worst_position_).c_str());
    const auto d = static_cast<double>(decisions_);
    std::printf("  %-22s mean cost %.5f a decision, %.5f where there is a choice; dearest %.3f\n",
                "", costs_ / d, costs_ / static_cast<double>(choices_), dearest_);
  }

 private:
  [[nodiscard]] double true_equity(const Position& position) const {
    return worth_of(*tables_.exact(position), kMoney);
  }
  [[nodiscard]] double equity_after(const Position& position, PlayKey play) const {
    return -true_equity(position_after(position, play));
  }

  const Evaluator& net_;
  const ExactTables& tables_;
  ChoiceScratch scratch_;
  double squares_ = 0.0;
  double sum_ = 0.0;
  double worst_ = 0.0;
  Position worst_position_;
  std::size_t values_ = 0;
  double costs_ = 0.0;
  double dearest_ = 0.0;
  std::size_t decisions_ = 0;
  std::size_t choices_ = 0;
};

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

void bear_offs(const Evaluator& net, const ExactTables& tables) {
  const SideIndex index(kHomePoints, TwoSidedTable::kCheckers);
  Gap gap(net, tables);
  std::size_t count = 0;
  for (std::uint32_t mine = 1; mine < index.size(); ++mine) {
    for (std::uint32_t theirs = 1; theirs < index.size(); ++theirs) {
      Position position{index.side(mine), index.side(theirs)};
      for (Side* side : {&position.roller, &position.opponent}) {
        side->add(kOff, kMaxCheckers - side->total());
      }
      gap.add_value(position);
      gap.add_decision(position, kRolls[count++ % kRollCount]);
    }
  }
  gap.print("over all bear-offs");
}

void report(const char* file, TableCache& cache, Workers& workers) {
  const NetworkFile network = load_network(file);
  const int checkers = network.card.checkers;
  std::printf("%s/%s: %d checkers, %s, %llu games\n", file, network_identity(network).c_str(),
              checkers, network.card.recipe.c_str(),
              static_cast<unsigned long long>(network.card.games));
  const NetworkEvaluator net(network.networks);
  ExactTables tables = ExactTables::bear_offs(kHomePoints, workers, cache);
  if (checkers > SolvedGame::kMostCheckers) {
    bear_offs(net, tables);
    return;
  }
  std::optional<SolvedGame> game = SolvedGame::from_cache(checkers, cache);
  if (!game) {
    SolvedGame::Settings settings;
    settings.checkers = checkers;
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
    TableCache cache(argv[1],
                     [](const std::string& line) { std::fprintf(stderr, "%s\n", line.c_str()); });
    Workers workers(available_threads());
    for (int i = 2; i < argc; ++i) report(argv[i], cache, workers);
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_exact_gap: %s\n", error.what());
    return 1;
  }
}
