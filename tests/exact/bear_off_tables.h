/// The bear-off tables, made once for all tests of a program.
#pragma once

#include "base/workers.h"
#include "exact/exact_tables.h"

namespace sixfold {

inline const ExactTables& bear_off_tables() {
  static const ExactTables kTables = [] {
    Workers workers(2);
    TableCache cache;
    return ExactTables::bear_offs(kHomePoints, workers, cache);
  }();
  return kTables;
}

}  // namespace sixfold
