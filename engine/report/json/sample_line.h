/// Sampled positions as JSON Lines (sixfold.sample/1), written and read again. Pure functions.
#pragma once

#include <string>

#include "rollout/sampled_position.h"

namespace sixfold {

[[nodiscard]] std::string sample_json(const SampledPosition& sampled);

/// The position of such a line, of a game of so many checkers a side. Other fields of the form may
/// be missing. Throws InputError for what is not JSON, for unknown fields, another form and
/// positions that are none.
[[nodiscard]] Position parse_sampled_position(const std::string& line, int checkers);

}  // namespace sixfold
