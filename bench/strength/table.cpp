#include "bench/strength/table.h"

#include <cmath>
#include <cstdio>
#include <filesystem>

#include "base/input_error.h"
#include "bench/gap.h"
#include "bench/strength/decisions.h"
#include "bench/strength/doubling.h"
#include "bench/strength/mean.h"
#include "evaluator/network_file.h"
#include "rollout/luck.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/start.h"
#include "session/core.h"
#include "statistical/openings.h"
#include "train/duel.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kOpeningTrials = 20'736;
constexpr double kTrivialGap = 0.15;  // a second play within this makes a decision count as one

using ByKind = std::array<Mean, kKindCount>;

struct Weighted {
  double mean = 0.0;
  double half_width = 0.0;
};

// The mean over kinds as they come up in play.
Weighted over_kinds(const ByKind& kinds, const std::array<double, kKindCount>& share) {
  double total = 0.0;
  for (std::size_t k = 0; k < kKindCount; ++k) total += share[k] * kinds[k].fraction();
  Weighted result;
  for (std::size_t k = 0; k < kKindCount; ++k) {
    const double weight = total > 0.0 ? share[k] * kinds[k].fraction() / total : 0.0;
    result.mean += weight * kinds[k].mean();
    result.half_width += weight * weight * kinds[k].variance_of_mean();
  }
  result.half_width = kTwoSided95 * std::sqrt(result.half_width);
  return result;
}

// What one judge says of a net's choices and values.
struct Verdicts {
  ByKind cost;
  ByKind cost_of_choices;  // where a second play is within kTrivialGap
  ByKind cost_ahead;       // with one roll of lookahead
  ByKind equity;           // static less judge, after the play that the net chooses
  ByKind squared_error;    // of that, less the judge's noise
  std::array<ByKind, kOutcomeCount> outcome;
};

const JudgedPlay& judgement_of(const JudgedDecision& judged, PlayKey play) {
  if (const JudgedPlay* judgement = judged.judgement_of(play)) return *judgement;
  throw InputError("has no judgement of the play that the net chooses",
                   "decision " + std::to_string(judged.number),
                   "it among the candidates (sixfold_strength judge, with the net as a rival)");
}

Verdicts verdicts_of(const Evaluator& evaluator, const DecisionSample& sample,
                     const std::vector<JudgedDecision>& judgements) {
  Verdicts verdicts;
  ChoiceScratch scratch;
  for (const JudgedDecision& judged : judgements) {
    const SampledDecision& decision = sample.decisions[judged.number];
    const auto kind = static_cast<std::size_t>(decision.kind);
    const auto& [_, position, roll] = decision;
    const JudgedPlay& chosen =
        judgement_of(judged, best_play(evaluator, position, roll, kMoneyWorth, scratch).play);
    const JudgedPlay& ahead =
        judgement_of(judged, best_play_ahead(evaluator, position, roll, kMoneyWorth, scratch).play);
    const bool is_choice = judged.plays.size() > 1 && judged.plays[1].cost <= kTrivialGap;
    verdicts.cost[kind].add(chosen.cost);
    verdicts.cost_of_choices[kind].add(chosen.cost, is_choice);
    verdicts.cost_ahead[kind].add(ahead.cost);
    const Position after = position_after(position, chosen.play);
    if (game_over(after)) continue;
    OutcomeDistribution error = reversed(evaluator.evaluate(after));
    error -= chosen.outcomes;
    const double difference = worth_of(error, kMoneyWorth);
    verdicts.equity[kind].add(difference);
    verdicts.squared_error[kind].add(difference * difference -
                                     chosen.equity_error * chosen.equity_error);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) verdicts.outcome[o][kind].add(error[o]);
  }
  return verdicts;
}

void print_costs(const Verdicts& verdicts, const std::array<double, kKindCount>& share) {
  std::printf("%-10s %9s %7s %18s %18s %18s\n", "kind", "decisions", "share", "cost, static",
              "where a choice is", "one roll ahead");
  const auto cell = [](const Mean& mean) {
    std::printf("  %.4f ± %.4f  ", mean.mean(), kTwoSided95 * std::sqrt(mean.variance_of_mean()));
  };
  for (std::size_t k = 0; k < kKindCount; ++k) {
    std::printf("%-10s %9.0f %6.1f%% ", kKindNames[k].data(), verdicts.cost[k].count(),
                100.0 * share[k]);
    cell(verdicts.cost[k]);
    cell(verdicts.cost_of_choices[k]);
    cell(verdicts.cost_ahead[k]);
    std::printf("\n");
  }
  double choices = 0.0;
  for (std::size_t k = 0; k < kKindCount; ++k) {
    choices += share[k] * verdicts.cost_of_choices[k].fraction();
  }
  std::printf("%-10s %9s %6.1f%% ", "in play", "", 100.0);
  for (const ByKind* costs : {&verdicts.cost, &verdicts.cost_of_choices, &verdicts.cost_ahead}) {
    const Weighted mean = over_kinds(*costs, share);
    std::printf("  %.4f ± %.4f  ", mean.mean, mean.half_width);
  }
  std::printf("\n%.0f%% of all decisions have a second play within %.2f of the best\n",
              100.0 * choices, kTrivialGap);
}

void print_values(const Verdicts& verdicts, const std::array<double, kKindCount>& share) {
  std::printf(
      "\nStatic values less rollouts, after the net's own choice (rms without rollouts' noise)\n");
  std::printf("%-10s %7s %17s   %s\n", "kind", "rms", "bias", "bias of each outcome, %");
  const auto biases = [&](auto value) {
    for (const ByKind& outcome : verdicts.outcome) std::printf(" %+6.2f", 100.0 * value(outcome));
    std::printf("\n");
  };
  for (std::size_t k = 0; k < kKindCount; ++k) {
    const Mean& errors = verdicts.equity[k];
    std::printf("%-10s %7.4f  %+.4f ± %.4f  ", kKindNames[k].data(),
                std::sqrt(std::max(0.0, verdicts.squared_error[k].mean())), errors.mean(),
                kTwoSided95 * std::sqrt(errors.variance_of_mean()));
    biases([&](const ByKind& outcome) { return outcome[k].mean(); });
  }
  const Weighted bias = over_kinds(verdicts.equity, share);
  std::printf("%-10s %7s  %+.4f ± %.4f  ", "in play", "", bias.mean, bias.half_width);
  biases([&](const ByKind& outcome) { return over_kinds(outcome, share).mean; });
  std::array<double, kKindCount> but_races = share;
  but_races[static_cast<std::size_t>(Kind::kRace)] = 0.0;
  const Weighted square = over_kinds(verdicts.squared_error, but_races);
  const double rms = std::sqrt(std::max(0.0, square.mean));
  std::printf("rms over all but races: %.4f ± %.4f\n", rms, square.half_width / (2.0 * rms));
}

// Games of the net against itself: what it expects after so many plies, and what comes of it, for
// the player who moved first.
void print_by_ply(const Evaluator& evaluator) {
  constexpr std::uint64_t kGames = 20'000;
  constexpr std::array<int, 8> kPlies{0, 2, 6, 10, 16, 24, 36, 48};
  std::array<std::array<Mean, 3>, kPlies.size()> predicted;
  std::array<std::array<Mean, 3>, kPlies.size()> realised;
  const auto parts = [](const OutcomeDistribution& outcomes) {
    return std::array{outcomes.win_probability(), outcomes.win_gammon_or_better_probability(),
                      outcomes.lose_gammon_or_worse_probability()};
  };
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < kGames; ++game) {
    RandomStream dice(17, game);
    Position position = start_position();
    std::array<std::optional<OutcomeDistribution>, kPlies.size()> expected;
    int plies = 0;
    for (; !game_over(position); ++plies) {
      const auto at = std::find(kPlies.begin(), kPlies.end(), plies);
      if (at != kPlies.end()) {
        expected[static_cast<std::size_t>(at - kPlies.begin())] = evaluator.evaluate(position);
      }
      const Choice choice = best_play(evaluator, position, dice.roll(), kMoneyWorth, scratch);
      position = position_after(position, choice.play);
    }
    OutcomeDistribution result = certain(*game_result(position));
    if (plies % 2 == 1) result = reversed(result);  // all of kPlies are the first player's turns
    for (std::size_t p = 0; p < kPlies.size(); ++p) {
      if (!expected[p]) continue;
      for (std::size_t i = 0; i < 3; ++i) {
        predicted[p][i].add(parts(*expected[p])[i]);
        realised[p][i].add(parts(result)[i]);
      }
    }
  }
  std::printf("\nExpected and realised by ply, %% of the games that come so far\n");
  std::printf("%5s %7s %22s %22s %22s\n", "plies", "games", "wins", "gammons won", "gammons lost");
  for (std::size_t p = 0; p < kPlies.size(); ++p) {
    std::printf("%5d %7.0f", kPlies[p], realised[p][0].count());
    for (std::size_t i = 0; i < 3; ++i) {
      std::printf("   %5.2f  %5.2f ± %.2f", 100.0 * predicted[p][i].mean(),
                  100.0 * realised[p][i].mean(),
                  100.0 * kTwoSided95 * std::sqrt(realised[p][i].variance_of_mean()));
    }
    std::printf("\n");
  }
}

// Looks at 5,000, 10,000, ... pairs and ends when the mean is three standard errors from zero.
void print_duel(const Evaluator& evaluator, const std::string& rival, int threads) {
  constexpr std::uint64_t kMostPairs = 80'000;
  Engine other({.net = rival});
  DuelResult result;
  for (std::uint64_t pairs = 5'000; pairs <= kMostPairs; pairs *= 2) {
    DuelSettings settings;
    settings.pairs = pairs;
    settings.threads = threads;
    result = duel(evaluator, other.core().evaluator(), settings);
    if (std::abs(result.points_per_game) >= 3.0 * result.standard_error) break;
  }
  std::printf("against %s (%s): %+.4f ± %.4f points a game, %llu pairs\n", rival.c_str(),
              network_identity(other.core().file()).c_str(), result.points_per_game,
              kTwoSided95 * result.standard_error, static_cast<unsigned long long>(result.pairs));
}

/// The greatest of what it has been shown, and where that was.
struct Largest {
  double value = 0.0;
  std::string where = "all of them";

  void show(double shown, const std::string& at) {
    if (std::abs(shown) <= std::abs(value)) return;
    value = shown;
    where = at;
  }
};

// Rollouts of the published opening plays against the nearer source.
void print_openings(const Evaluator& evaluator, const LuckSource* luck, const TableInputs& inputs) {
  const auto openings = published_openings(inputs.source + "/tests/golden/openings.csv");
  const Position start = start_position();
  Mean differences;
  Largest worst;
  // What plays cost that a source calls best: the better one where sources differ, and all.
  Largest by_either;
  Largest by_both;
  for (const auto& [dice, published] : openings) {
    const Roll roll = parse_roll(dice);
    RolloutSettings settings;
    settings.trials = kOpeningTrials;
    if (luck != nullptr) settings.luck = LuckControl::kEstimated;
    ThreadRunner runner(inputs.threads);
    const RolloutResult result =
        roll_out({evaluator, luck}, start, candidates(evaluator, roll, published), money_score(),
                 settings, runner);
    std::map<std::string, double> nearest;
    std::map<double, std::string> best;  // by cost
    for (const PublishedPlay& listed : published) {
      const PlayKey play = parse_play(start, roll, listed.play);
      const auto rolled = std::find_if(result.plays.begin(), result.plays.end(),
                                       [&](const RolledPlay& r) { return r.play == play; });
      const double difference = rolled->equity.mean - listed.equity;
      const auto [at, is_new] = nearest.emplace(listed.play, difference);
      if (std::abs(difference) < std::abs(at->second)) at->second = difference;
      if (listed.rank == 1) best.emplace(rolled->cost.mean, dice + ": " + listed.play);
    }
    by_either.show(best.begin()->first, best.begin()->second);
    by_both.show(best.rbegin()->first, best.rbegin()->second);
    for (const auto& [play, difference] : nearest) {
      differences.add(std::abs(difference));
      worst.show(difference, dice + ": " + play);
    }
  }
  std::printf(
      "\nOpenings rolled out, %llu trials, against the nearer of two published sources\n"
      "%.0f plays: mean absolute difference %.4f, worst %+.4f (%s);\n"
      "the sources' best plays cost at most %.4f (%s),\n"
      "the better one where they differ at most %.4f (%s)\n",
      static_cast<unsigned long long>(kOpeningTrials), differences.count(), differences.mean(),
      worst.value, worst.where.c_str(), by_both.value, by_both.where.c_str(), by_either.value,
      by_either.where.c_str());
}

}  // namespace

void print_strength(const TableInputs& inputs) {
  Engine engine({.net = inputs.net, .threads = inputs.threads});
  const Core& core = engine.core();
  const NetworkFile& file = core.file();
  const Evaluator& evaluator = core.evaluator();
  const DecisionSample sample = read_sample(inputs.source + "/bench/strength/decisions.txt");
  std::printf("%s (%s): %s, seed %llu, %llu games, %zu networks, contact %d units\n",
              inputs.net.c_str(), network_identity(file).c_str(), file.card.recipe.c_str(),
              static_cast<unsigned long long>(file.card.seed),
              static_cast<unsigned long long>(file.card.games), file.networks.phases(),
              file.networks.contact.hidden);
  for (const std::string& path : inputs.judgements) {
    std::printf("\nCost of a decision, judged by %s (± 95%%)\n",
                std::filesystem::path(path).stem().c_str());
    const Verdicts verdicts = verdicts_of(evaluator, sample, read_judgements(path, sample));
    print_costs(verdicts, sample.share);
    print_values(verdicts, sample.share);
  }
  print_by_ply(evaluator);
  print_openings(evaluator, core.luck(), inputs);
  std::printf("\nRaces: the race network alone against the two-sided bear-off table\n");
  bear_offs(NetworkEvaluator(file.networks), core.tables());
  const std::string strength = inputs.source + "/bench/strength/";
  print_doubles(core, read_doubles(strength + "doubles.txt"), strength + "judged_doubles.jsonl");
  if (!inputs.rivals.empty()) std::printf("\nDuels on common dice\n");
  for (const std::string& rival : inputs.rivals) print_duel(evaluator, rival, inputs.threads);
}

}  // namespace sixfold
