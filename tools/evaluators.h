/// The evaluators that a command needs: one net, the bear-off tables, and solved games of few
/// checkers for the scores that are asked for.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <utility>

#include "base/provenance.h"
#include "exact/exact_tables.h"
#include "rollout/luck.h"
#include "study/decision.h"
#include "tools/session.h"

namespace sixfold::tools {

/// The cache of tables at `directory`, or at the user's usual place when empty; reports go to
/// standard error.
[[nodiscard]] TableCache table_cache(const std::string& directory);

class Evaluators {
 public:
  /// Throws InputError for a net that can't be used.
  explicit Evaluators(const PositionOptions& options);

  [[nodiscard]] const std::string& net_name() const { return net_.name; }
  [[nodiscard]] Provenance made_by() const { return {net_.name, SIXFOLD_VERSION}; }
  [[nodiscard]] const ExactTables& tables() const { return tables_; }
  /// The net's luck networks, if it has any.
  [[nodiscard]] const LuckSource* luck() const { return luck_.get(); }
  /// Games of one or two checkers are solved at once, at the decision's score. A money game of
  /// three is taken from the cache when `solve` has put it there.
  [[nodiscard]] const Evaluator& at(const Decision& decision);

 private:
  [[nodiscard]] std::shared_ptr<const SolvedGame> solved(int checkers, const Score& score);

  LoadedNet net_;
  TableCache cache_;
  ExactTables tables_;
  std::unique_ptr<NetworkLuck> luck_;
  std::unique_ptr<NetworkEvaluator> fifteen_;  ///< For all games that are not solved.
  /// By the number of checkers and the worth of the outcomes.
  std::map<std::pair<int, OutcomeWorth>, std::unique_ptr<NetworkEvaluator>> few_checkers_;
};

}  // namespace sixfold::tools
