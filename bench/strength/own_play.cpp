#include "bench/strength/own_play.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <vector>

#include "base/input_error.h"
#include "base/workers.h"
#include "bench/strength/mean.h"
#include "evaluator/network_file.h"
#include "rules/start.h"
#include "session/core.h"
#include "train/self_play.h"
#include "train/trainer.h"

namespace sixfold {
namespace {

constexpr std::array kLambdas{0.0f, 0.5f, 0.7f, 0.9f, 1.0f};
constexpr int kEvery = 8;  // turns
constexpr std::uint64_t kSampleSeed = 991;
constexpr std::uint64_t kTrialSeed = 77;
constexpr std::uint64_t kLookedAtSeed = 1'000'077;

/// Of one position: returns as equity for each lambda, by the two ways to take luck out.
struct Returns {
  double value = 0.0;  // static
  std::array<Mean, kLambdas.size()> estimated{};
  std::array<Mean, kLambdas.size()> mended{};
};

double equity_of(const TargetOutcomes& outcomes, const OutcomeWorth& worth) {
  double equity = 0.0;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    equity += worth[o] * static_cast<double>(outcomes[o]);
  }
  return equity;
}

class OwnPlay {
 public:
  /// Both must outlive it.
  OwnPlay(const Evaluator& evaluator, const LuckSource& luck, int trials)
      : evaluator_(evaluator), luck_(luck), trials_(trials) {}

  [[nodiscard]] std::vector<Position> sample(int games) const {
    std::vector<Position> positions;
    ChoiceScratch scratch;
    for (int game = 0; game < games; ++game) {
      const GameRecord record = play_game(evaluator_, start_position(), kMoneyWorth, kSampleSeed,
                                          static_cast<std::uint64_t>(game), scratch);
      for (auto t = static_cast<std::size_t>(1 + game % kEvery); t + 1 < record.positions.size();
           t += kEvery) {
        if (!is_race(record.positions[t])) positions.push_back(record.positions[t]);
      }
    }
    return positions;
  }

  [[nodiscard]] Returns returns_from(const Position& position, std::uint64_t number) const {
    Returns returns;
    returns.value = worth_of(evaluator_.evaluate(position), kMoneyWorth);
    ChoiceScratch scratch;
    for (int trial = 0; trial < trials_; ++trial) {
      const auto stream = static_cast<std::uint64_t>(trial);
      const GameRecord game =
          play_game(evaluator_, position, kMoneyWorth, kTrialSeed + number, stream, scratch);
      std::vector<TargetOutcomes> values;
      for (std::size_t t = 0; t + 1 < game.positions.size(); ++t) {
        values.push_back(in_floats(evaluator_.evaluate(game.positions[t])));
      }
      RandomStream random(kLookedAtSeed + number, stream);
      const auto estimated = luck_of_rolls(game, kMoneyWorth, luck_, scratch);
      const auto mended =
          mended_luck_of_rolls(game, kMoneyWorth, luck_, evaluator_, looked_at_, random, scratch);
      for (std::size_t l = 0; l < kLambdas.size(); ++l) {
        const auto add = [&](Mean& mean, const std::vector<TargetOutcomes>& luck) {
          mean.add(equity_of(lambda_returns(game, values, luck, kLambdas[l]).front(), kMoneyWorth));
        };
        add(returns.estimated[l], estimated);
        add(returns.mended[l], mended);
      }
    }
    return returns;
  }

 private:
  const Evaluator& evaluator_;
  const LuckSource& luck_;
  int trials_;
  int looked_at_ = recipe_named("refine").looked_at;
};

}  // namespace

void print_own_play(const std::string& net, const std::string& luck, int games, int trials,
                    int threads) {
  Engine engine({.net = net, .race_points = 0});
  Engine of_luck({.net = luck, .race_points = 0});
  const OwnPlay play(engine.core().evaluator(), of_luck.core().required_luck(), trials);
  const std::vector<Position> positions = play.sample(games);
  std::vector<Returns> all(positions.size());
  Workers(threads).for_each(positions.size(),
                            [&](std::size_t i) { all[i] = play.returns_from(positions[i], i); });
  std::printf("%s: %zu positions with contact, %d games from each\n", net.c_str(), all.size(),
              trials);
  std::puts("                                                deviation of a return");
  std::puts("lambda  static values' rms (95%)      bias      estimated  mended");
  for (std::size_t l = 0; l < kLambdas.size(); ++l) {
    Mean squared_error;  // less its noise
    Mean error;
    Mean estimated;
    Mean mended;
    for (const Returns& returns : all) {
      const double difference = returns.value - returns.mended[l].mean();
      const double noise = returns.mended[l].variance_of_mean();
      squared_error.add(difference * difference - noise);
      error.add(difference);
      estimated.add(trials * returns.estimated[l].variance_of_mean());
      mended.add(trials * noise);
    }
    const double rms = std::sqrt(std::max(0.0, squared_error.mean()));
    const double half_width = kTwoSided95 * std::sqrt(squared_error.variance_of_mean());
    std::printf("%6.1f  %.4f ± %.4f             %+.4f     %.4f     %.4f\n",
                static_cast<double>(kLambdas[l]), rms, half_width / (2.0 * rms), error.mean(),
                std::sqrt(estimated.mean()), std::sqrt(mended.mean()));
  }
}

}  // namespace sixfold
