/// What a position is worth, as a distribution over the six outcomes.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "evaluator/kernels.h"
#include "evaluator/quantised_network.h"
#include "exact/exact_tables.h"
#include "rules/outcome_distribution.h"
#include "rules/plays.h"
#include "rules/position.h"

namespace sixfold {

/// What an evaluator says of a position: how the game ends, and how alive the cube is.
struct Outlook {
  OutcomeDistribution outcomes;
  CubeLives lives;
  friend bool operator==(const Outlook&, const Outlook&) = default;
};
/// The same seen by the other player.
[[nodiscard]] constexpr Outlook reversed(const Outlook& outlook) noexcept {
  return {reversed(outlook.outcomes), reversed(outlook.lives)};
}

/// Implementations are immutable and safe to use from any thread.
class Evaluator {
 public:
  Evaluator() = default;
  Evaluator(const Evaluator&) = delete;
  Evaluator& operator=(const Evaluator&) = delete;
  virtual ~Evaluator() = default;

  /// The outcomes of a position from the viewpoint of the side on roll, before the dice. Outcomes
  /// that the rules exclude have probability zero.
  [[nodiscard]] virtual OutcomeDistribution evaluate(const Position& position) const noexcept = 0;

  /// outcomes[i] is the distribution after plays[i], from the viewpoint of the player who makes the
  /// play. One parent with all its children, since these differ from it in few places.
  /// REQUIRES: the spans are of equal length; the plays are results of one roll from `parent`.
  virtual void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                                 std::span<OutcomeDistribution> outcomes) const noexcept = 0;

  /// The same, and how alive the cube is: means over all positions, where an evaluator does not say
  /// more.
  [[nodiscard]] virtual Outlook evaluate_with_cube(const Position& position) const noexcept;
  virtual void evaluate_children_with_cube(const Position& parent, std::span<const PlayKey> plays,
                                           std::span<Outlook> outlooks) const noexcept;

  /// The outcomes of a position where they are known exactly: finished games, and what tables hold.
  [[nodiscard]] virtual std::optional<OutcomeDistribution> known(
      const Position& position) const noexcept {
    return ExactTables().exact(position);
  }
  /// Where evaluate() takes the value of a position from.
  [[nodiscard]] virtual Method method(const Position& position) const noexcept {
    return known(position) ? Method::kExact : Method::kNetwork;
  }
};

/// The quantised networks, evaluated incrementally from each parent; tables come first where
/// they hold a position, the exact ones before the race estimate.
class NetworkEvaluator final : public Evaluator {
 public:
  /// Throws InputError for networks that do not fit into integers. REQUIRES: is_available(level).
  /// What networks without heads for the cube say of it are means.
  explicit NetworkEvaluator(const Networks& networks, InstructionSet level = best_instruction_set(),
                            ExactTables tables = {}, const CubeHeads& cube = {});

  [[nodiscard]] OutcomeDistribution evaluate(const Position& position) const noexcept override;
  void evaluate_children(const Position& parent, std::span<const PlayKey> plays,
                         std::span<OutcomeDistribution> outcomes) const noexcept override;
  [[nodiscard]] Outlook evaluate_with_cube(const Position& position) const noexcept override;
  void evaluate_children_with_cube(const Position& parent, std::span<const PlayKey> plays,
                                   std::span<Outlook> outlooks) const noexcept override;
  [[nodiscard]] std::optional<OutcomeDistribution> known(
      const Position& position) const noexcept override {
    return tables_.exact(position);
  }
  /// Whether its networks say how alive the cube is.
  [[nodiscard]] bool knows_lives() const noexcept { return knows_lives_; }
  [[nodiscard]] Method method(const Position& position) const noexcept override;

 private:
  [[nodiscard]] std::optional<OutcomeDistribution> from_tables(
      const Position& position) const noexcept {
    if (const auto exact = tables_.exact(position)) return exact;
    return tables_.race(position);
  }
  /// Of the network that evaluates positions of a phase.
  [[nodiscard]] std::size_t place_for(Phase phase) const noexcept {
    return static_cast<std::size_t>(stand_in_for(phase, networks_.size()));
  }

  /// Gives the children for which of_child(place, child) says so to their networks, in batches.
  template <typename Results, typename Use>
  void for_children(const Position& parent, std::span<const PlayKey> plays, const Results& results,
                    Use of_child) const noexcept;

  const Kernels& kernels_;
  std::vector<QuantisedNetwork> networks_;  ///< By phase, as many as there are.
  ExactTables tables_;
  bool knows_lives_;
};

}  // namespace sixfold
