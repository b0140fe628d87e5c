/// What tests of training runs share.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "evaluator/file_fixtures.h"
#include "rules/start.h"
#include "train/trainer.h"

namespace sixfold {

inline constexpr std::uint64_t kSeed = 11;

inline std::vector<IterationReport> run(Trainer& trainer, int iterations) {
  std::vector<IterationReport> reports;
  for (int i = 0; i < iterations; ++i) reports.push_back(trainer.run_iteration());
  return reports;
}

/// The whole state of a run as bytes.
inline std::string state_of(const Trainer& trainer, const Room& room) {
  trainer.save_checkpoint(room / "state");
  return read_bytes(room / "state");
}

/// The weights with which the next iteration plays.
inline Networks current_weights(const Trainer& trainer, const Room& room) {
  trainer.save_checkpoint(room / "weights");
  const TensorFile file = read_tensors(room / "weights");
  return {take_network(file, "contact.weights", ""), take_network(file, "race.weights", "")};
}

inline GameRecord game_of(const Networks& networks, std::uint64_t game) {
  const NetworkEvaluator evaluator(networks);
  ChoiceScratch scratch;
  return play_game(evaluator, start_position(), kMoneyWorth, kSeed, game, scratch);
}

}  // namespace sixfold
