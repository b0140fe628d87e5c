// What integers cost: a network's quantised evaluator against the same weights in floats. Errors of
// static equities on the positions of their games, and the points a game that play by integers
// loses. Run as: sixfold_quantisation NET [PAIRS]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "base/input_error.h"
#include "evaluator/network_file.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/start.h"
#include "session/core.h"
#include "train/duel.h"

namespace {

using namespace sixfold;

/// The formula of evaluator/network.h in floats, from the rows of each position.
class FloatEvaluator final : public Evaluator {
 public:
  explicit FloatEvaluator(const Networks& networks) : networks_(networks) {
    for (std::size_t p = 0; p < kPhaseCount; ++p) {
      const Network& network = networks.used_for(static_cast<Phase>(p));
      rows_[p] = baked_rows(network.first, network.first_bias.size());
    }
  }

  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override {
    if (const auto exact = known(position)) return *exact;
    const Phase phase = phase_of(position);
    return forward(networks_.used_for(phase), rows_[static_cast<std::size_t>(phase)], position);
  }

  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override {
    for (std::size_t i = 0; i < plays.size(); ++i) {
      outcomes[i] = reversed(evaluate(position_after(parent, plays[i])));
    }
  }

 private:
  static OutcomeDistribution forward(const Network& network, const std::vector<float>& rows,
                                     const Position& position) {
    const std::size_t width = network.first_bias.size();
    std::array<float, kMaxHidden> hidden;
    std::copy(network.first_bias.begin(), network.first_bias.end(), hidden.begin());
    for (const Row row : active_rows(position)) {
      const float* const values = rows.data() + row * width;
      for (std::size_t h = 0; h < width; ++h) hidden[h] += values[h];
    }
    std::array<float, kSecondUnits> second;
    std::copy(network.second_bias.begin(), network.second_bias.end(), second.begin());
    for (std::size_t h = 0; h < width; ++h) {
      float unit = std::clamp(hidden[h], 0.0f, 1.0f);
      if (unit == 0.0f) continue;
      unit *= unit;
      const float* const weights = network.second_weights.data() + h * kSecondUnits;
      for (std::size_t s = 0; s < kSecondUnits; ++s) second[s] += unit * weights[s];
    }
    OutcomeDistribution outcomes;
    const unsigned possible = possible_outcomes(position);
    double sum = 0.0;
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      if ((possible >> o & 1u) == 0) continue;
      double logit = static_cast<double>(network.head_bias[o]);
      for (std::size_t s = 0; s < kSecondUnits; ++s) {
        const float unit = std::max(second[s], kLeak * second[s]);
        logit += static_cast<double>(unit * network.head_weights[s * kOutcomeCount + o]);
      }
      outcomes[o] = std::exp(logit);
      sum += outcomes[o];
    }
    return outcomes *= 1.0 / sum;
  }

  Networks networks_;
  std::array<std::vector<float>, kPhaseCount> rows_;  ///< By phase.
};

struct Errors {
  double count = 0.0;
  double sum = 0.0;
  double squares = 0.0;

  void print(const char* phase) const {
    std::printf("%s: %.0f positions, equity rms %.5f, bias %+.5f\n", phase, count,
                std::sqrt(squares / count), sum / count);
  }
};

/// Equities of all positions of games played by integers.
void agreement(const Evaluator& integers, const FloatEvaluator& floats) {
  std::array<Errors, kPhaseCount> errors;
  std::uint64_t choices = 0;
  std::uint64_t same = 0;
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < 400; ++game) {
    RandomStream dice(11, game);
    Position position = start_position();
    while (!game_over(position)) {
      const double error = worth_of(integers.evaluate(position), kMoneyWorth) -
                           worth_of(floats.evaluate(position), kMoneyWorth);
      Errors& of_phase = errors[static_cast<std::size_t>(phase_of(position))];
      of_phase.count += 1.0;
      of_phase.sum += error;
      of_phase.squares += error * error;
      const Roll roll = dice.roll();
      const PlayKey by_floats = best_play(floats, position, roll, kMoneyWorth, scratch).play;
      const PlayKey play = best_play(integers, position, roll, kMoneyWorth, scratch).play;
      ++choices;
      same += play == by_floats ? 1u : 0u;
      position = position_after(position, play);
    }
  }
  for (std::size_t p = 0; p < kPhaseCount; ++p) errors[p].print(kNetworks[p].first);
  std::printf("plays: the same in %.3f%% of %llu turns\n",
              100.0 * static_cast<double>(same) / static_cast<double>(choices),
              static_cast<unsigned long long>(choices));
}

}  // namespace

int main(int arguments, char** values) {
  if (arguments < 2) {
    std::fprintf(stderr, "usage: sixfold_quantisation NET [PAIRS]\n");
    return 2;
  }
  try {
    Engine engine({.net = values[1], .race_points = 0});
    const Evaluator& integers = engine.core().evaluator();
    const FloatEvaluator floats(engine.core().file().networks);
    agreement(integers, floats);
    DuelSettings settings;
    if (arguments > 2) settings.pairs = std::strtoull(values[2], nullptr, 10);
    settings.threads = available_threads();
    const DuelResult result = duel(integers, floats, settings);
    std::printf("duel: integers win %+.5f ± %.5f points a game (95%%), %llu pairs\n",
                result.points_per_game, 1.96 * result.standard_error,
                static_cast<unsigned long long>(result.pairs));
  } catch (const InputError& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
  return 0;
}
