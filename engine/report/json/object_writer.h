/// Writes an object's fields straight into a line. What comes by the thousand is written so: made
/// as a tree of values first, the plays of a roll took three fifths of all the time that an
/// evaluation took. Used by the files of this folder alone.
#pragma once

#include <array>
#include <cassert>
#include <charconv>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <string>
#include <string_view>

#include "report/json/json_parts.h"
#include "report/words/names.h"

namespace sixfold {

class ObjectWriter {
 public:
  explicit ObjectWriter(std::string& line) : line_(line) { line_ += '{'; }
  /// Takes up an object that was written whole. REQUIRES: it ends the line and has a field.
  [[nodiscard]] static ObjectWriter reopened(std::string& line) {
    line.pop_back();
    return {line, true};
  }

  /// REQUIRES: nothing in the text has to be escaped.
  void text(std::string_view field, std::string_view value) {
    name(field);
    line_ += '"';
    line_ += value;
    line_ += '"';
  }
  void count(std::string_view field, std::integral auto value) {
    name(field);
    append(value);
  }
  /// The shortest digits that are read back as this number, with a point or an exponent.
  /// REQUIRES: it is finite.
  void number(std::string_view field, double value) {
    assert(std::isfinite(value));
    name(field);
    const std::size_t begin = line_.size();
    append(value);
    if (line_.find_first_of(".e", begin) == std::string::npos) line_ += ".0";
  }
  void outcomes(const OutcomeDistribution& outcomes, std::string_view field = "outcomes") {
    name(field);
    ObjectWriter six(line_);
    for (std::size_t o = 0; o < kOutcomeCount; ++o) six.number(kOutcomeFields[o], outcomes[o]);
    six.end();
  }
  /// REQUIRES: the value is JSON.
  void json(std::string_view field, std::string_view value) {
    name(field);
    line_ += value;
  }
  /// A list: `write_each` gets the line to write elements into.
  template <typename Elements, typename WriteOne>
  void list(std::string_view field, const Elements& elements, WriteOne write_one) {
    name(field);
    line_ += '[';
    bool is_first = true;
    for (const auto& element : elements) {
      if (!is_first) line_ += ',';
      is_first = false;
      write_one(line_, element);
    }
    line_ += ']';
  }
  void end() { line_ += '}'; }

 private:
  ObjectWriter(std::string& line, bool has_fields) : line_(line), has_fields_(has_fields) {}

  void name(std::string_view field) {
    if (has_fields_) line_ += ',';
    has_fields_ = true;
    line_ += '"';
    line_ += field;
    line_ += "\":";
  }
  void append(auto value) {
    std::array<char, 32> digits;
    const auto written = std::to_chars(digits.data(), digits.data() + digits.size(), value);
    line_.append(digits.data(), written.ptr);
  }

  std::string& line_;
  bool has_fields_ = false;
};

}  // namespace sixfold
