#include "tools/python/arrays.h"

#include <string>

#include "base/format.h"
#include "base/input_error.h"
#include "encoding/features.h"
#include "rules/notation.h"

namespace py = pybind11;

namespace sixfold::python {
namespace {

using Counts = py::array_t<std::int64_t, py::array::c_style | py::array::forcecast>;

constexpr const char* kForms = "a list of texts, or an array of shape (N, 2, 26) of whole numbers";

/// A side of the array; `counts` are those of its locations.
Side side_of(const std::int64_t* counts, int checkers, const char* whose) {
  Side side;
  std::int64_t total = 0;
  for (int location = kOff; location <= kBar; ++location) {
    const std::int64_t count = counts[location];
    if (count < 0 || count > checkers) {
      throw InputError(format("{} has {} checkers on location {}", whose, count, location), "",
                       format("0 to {}", checkers));
    }
    total += count;
    if (total <= checkers) side.add(location, static_cast<int>(count));
  }
  if (total != checkers) {
    throw InputError(format("{} has {} checkers, those borne off included", whose, total), "",
                     std::to_string(checkers));
  }
  return side;
}

Position position_of(const std::int64_t* counts, int checkers) {
  const Position position{side_of(counts, checkers, "the side on roll"),
                          side_of(counts + kLocations, checkers, "the opponent")};
  require_possible(position);
  return position;
}

std::vector<Position> from_array(const py::array& array, int checkers) {
  const char kind = array.dtype().kind();
  if ((kind != 'i' && kind != 'u') || array.ndim() != 3 || array.shape(1) != 2 ||
      array.shape(2) != kLocations) {
    throw InputError(format("not {}", kForms), "positions",
                     "such as sixfold.positions_array() makes");
  }
  const Counts counts(array);
  std::vector<Position> positions;
  for (py::ssize_t i = 0; i < counts.shape(0); ++i) {
    positions.push_back(inside(format("positions[{}]", i),
                               [&] { return position_of(counts.data(i, 0, 0), checkers); }));
  }
  return positions;
}

std::vector<Position> from_texts(const py::sequence& texts, int checkers) {
  std::vector<Position> positions;
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const std::string where = format("positions[{}]", i);
    const py::object text = texts[i];
    if (!py::isinstance<py::str>(text)) {
      throw InputError("not a text", where, "such as \"6x2 / 24 3\"");
    }
    positions.push_back(
        inside(where, [&] { return parse_position(text.cast<std::string>(), checkers); }));
  }
  return positions;
}

}  // namespace

std::vector<Position> positions_of(const py::object& positions, int checkers) {
  if (checkers < 1 || checkers > kMaxCheckers) {
    throw InputError(format("{} is not a number of checkers", checkers), "checkers", "1 to 15");
  }
  if (py::isinstance<py::array>(positions)) {
    const auto array = py::reinterpret_borrow<py::array>(positions);
    const char kind = array.dtype().kind();
    const bool is_list = array.ndim() == 1 && (kind == 'U' || kind == 'O' || array.size() == 0);
    if (!is_list) return from_array(array, checkers);
    return from_texts(array.attr("tolist")(), checkers);
  }
  if (py::isinstance<py::str>(positions) || !py::isinstance<py::sequence>(positions)) {
    throw InputError(format("not {}", kForms), "positions", "such as [\"6x2 / 24 3\"]");
  }
  return from_texts(py::reinterpret_borrow<py::sequence>(positions), checkers);
}

py::array_t<std::int8_t> array_of(const std::vector<Position>& positions) {
  py::array_t<std::int8_t> array({positions.size(), std::size_t{2}, std::size_t{kLocations}});
  auto counts = array.mutable_unchecked<3>();
  for (std::size_t i = 0; i < positions.size(); ++i) {
    for (int location = kOff; location <= kBar; ++location) {
      const auto n = static_cast<py::ssize_t>(i);
      counts(n, 0, location) = static_cast<std::int8_t>(positions[i].roller[location]);
      counts(n, 1, location) = static_cast<std::int8_t>(positions[i].opponent[location]);
    }
  }
  return array;
}

py::array_t<float> inputs_of(const std::vector<Position>& positions) {
  static const std::vector<std::vector<WeightedFeature>> kFeatures = [] {
    std::vector<std::vector<WeightedFeature>> features;
    for (int row = 0; row < kRowCount; ++row) features.push_back(features_of_row(row));
    return features;
  }();
  py::array_t<float> array({positions.size(), std::size_t{kFeatureCount}});
  auto inputs = array.mutable_unchecked<2>();
  for (std::size_t i = 0; i < positions.size(); ++i) {
    const auto n = static_cast<py::ssize_t>(i);
    for (int feature = 0; feature < kFeatureCount; ++feature) inputs(n, feature) = 0.0f;
    for (const Row row : active_rows(positions[i])) {
      for (const WeightedFeature& one : kFeatures[row]) inputs(n, one.feature) += one.weight;
    }
  }
  return array;
}

py::array_t<bool> races_of(const std::vector<Position>& positions) {
  py::array_t<bool> array(static_cast<py::ssize_t>(positions.size()));
  auto races = array.mutable_unchecked<1>();
  for (std::size_t i = 0; i < positions.size(); ++i) {
    if (game_over(positions[i])) {
      throw InputError("the game is over", format("positions[{}]", i), "checkers on both sides");
    }
    races(static_cast<py::ssize_t>(i)) = is_race(positions[i]);
  }
  return array;
}

py::array_t<double> array_of(const std::vector<OutcomeDistribution>& outcomes) {
  py::array_t<double> array({outcomes.size(), std::size_t{kOutcomeCount}});
  auto shares = array.mutable_unchecked<2>();
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      shares(static_cast<py::ssize_t>(i), static_cast<py::ssize_t>(o)) = outcomes[i][o];
    }
  }
  return array;
}

}  // namespace sixfold::python
