/// The input features of a position written a second time, straight from their table.
///
/// No rows and no baking: every feature is worked out from the two sides by its definition. Slow by
/// design; safe to use from any thread.
#pragma once

#include <vector>

#include "rules/position.h"

namespace sixfold::oracle {

/// All features in their order: 281 of each side, the roller's first, then the relations.
[[nodiscard]] std::vector<double> features(const Position& position);

}  // namespace sixfold::oracle
