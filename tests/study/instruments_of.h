/// Short ways to what studies are worked out with.
#pragma once

#include "equity/match_equity.h"
#include "study/decision.h"

namespace sixfold {

/// One thread, no luck networks; without tables unless they are given.
inline Instruments instruments_of(const Evaluator& evaluator, const ExactTables& tables,
                                  const MatchEquityTable& table = own_match_equities()) {
  static ThreadRunner runner;
  return {evaluator, tables, table, runner};
}
inline Instruments instruments_of(const Evaluator& evaluator,
                                  const MatchEquityTable& table = own_match_equities()) {
  static const ExactTables kNone;
  return instruments_of(evaluator, kNone, table);
}

/// The same, run by somebody else.
inline Instruments run_by(TrialRunner& runner, const Evaluator& evaluator) {
  const Instruments usual = instruments_of(evaluator);
  return {usual.players, usual.tables, usual.match_table, runner};
}

}  // namespace sixfold
