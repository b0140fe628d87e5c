// States of rollouts: the input is what lies between a right head and a right hash.
#include "base/bytes.h"
#include "base/hash.h"
#include "fuzz/fuzz.h"
#include "rollout/state.h"
#include "rules/notation.h"
#include "rules/start.h"

using namespace sixfold;

namespace {

RolloutPlan plan() {
  class Nobody final : public Evaluator {
   public:
    [[nodiscard]] OutcomeDistribution evaluate(const Position&) const noexcept override {
      return {0.0, 0.1, 0.4, 0.4, 0.1, 0.0};
    }
    void evaluate_children(const Position&, std::span<const PlayKey> plays,
                           std::span<OutcomeDistribution> outcomes) const noexcept override {
      for (std::size_t i = 0; i < plays.size(); ++i) outcomes[i] = {0.0, 0.1, 0.4, 0.4, 0.1, 0.0};
    }
  };
  static const Nobody kNobody;
  const Position position = start_position();
  PlayList plays;
  generate_plays(position, parse_roll("31"), plays);
  RolloutSettings settings;
  settings.trials = 36;
  return plan_plays({kNobody}, position, plays.span(), money_score(), settings);
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::string kFresh = RolloutState(plan()).save();
  // The line with the version, and the plan's identity.
  static const std::string kHead = kFresh.substr(0, kFresh.find('\n') + 1 + sizeof(std::uint64_t));
  std::string bytes = kHead + std::string(fuzz::text_of(data, size));
  ByteWriter hash;
  hash.add(hash_of_bytes(bytes));
  bytes += hash.bytes();
  fuzz::may_refuse([&] {
    const RolloutState state = RolloutState::load(plan(), bytes, "state");
    if (state.has_result()) static_cast<void>(state.result());
  });
  return 0;
}
