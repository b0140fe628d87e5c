/// Positions as numpy has them, and what numpy gets of them.
///
/// An array of N positions has the shape (N, 2, 26) and whole numbers: checkers of the side on roll
/// (0) and of the opponent (1) on each location, numbered from their own side: 0 borne off, 1 to 24
/// the points, 25 the bar. All functions want the interpreter's lock, and throw InputError for what
/// is not a position, with its number from 0.
#pragma once

#include <pybind11/numpy.h>

#include <vector>

#include "rules/outcome_distribution.h"
#include "rules/position.h"

namespace sixfold::python {

/// A list of texts, or an array as above, of games with `checkers` a side.
[[nodiscard]] std::vector<Position> positions_of(const pybind11::object& positions, int checkers);

[[nodiscard]] pybind11::array_t<std::int8_t> array_of(const std::vector<Position>& positions);

/// N x F, the inputs of networks: encoding/features.h.
[[nodiscard]] pybind11::array_t<float> inputs_of(const std::vector<Position>& positions);

/// N, whether each is a race: which of a net's networks evaluates it. Throws for a finished game.
[[nodiscard]] pybind11::array_t<bool> races_of(const std::vector<Position>& positions);

/// N x 6.
[[nodiscard]] pybind11::array_t<double> array_of(const std::vector<OutcomeDistribution>& outcomes);

}  // namespace sixfold::python
