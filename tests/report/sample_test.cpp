#include <array>
#include <catch2/catch.hpp>
#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "report/json/sample_line.h"
#include "report/tables/npy.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

SampledPosition some_position() {
  SampledPosition sampled;
  sampled.position = parse_position("bar 8x3 / 24x2 6x4");
  sampled.outcomes.probability = {0.0, 0.125, 0.25, 0.5, 0.0625, 0.0625};
  sampled.end = Outcome::kWinGammon;
  return sampled;
}

SampledPosition rolled_position() {
  SampledPosition sampled = some_position();
  sampled.standard_errors = {0.0, 0.01, 0.02, 0.03, 0.04, 0.05};
  return sampled;
}

std::string refusal(const std::string& line, int checkers = kMaxCheckers) {
  try {
    (void)parse_sampled_position(line, checkers);
  } catch (const InputError& error) {
    return error.what();
  }
  return "accepted";
}

/// A file of NumPy in its parts.
struct Npy {
  explicit Npy(const std::string& bytes) {
    std::uint16_t length = 0;
    REQUIRE(bytes.size() > 10);
    CHECK(bytes.substr(0, 8) == std::string("\x93NUMPY\x01\x00", 8));
    std::memcpy(&length, bytes.data() + 8, sizeof length);
    CHECK((10u + length) % 64 == 0);
    header = bytes.substr(10, length);
    CHECK(header.back() == '\n');
    header.erase(header.find_last_not_of(" \n") + 1);
    records = bytes.substr(10 + length);
  }
  std::string header;
  std::string records;
};

}  // namespace

TEST_CASE("A sampled position is a line of JSON with named outcomes") {
  const std::string head =
      R"({"schema":"sixfold.sample/1","position":"bar 8x3 / 24x2 6x4","outcomes":)"
      R"({"lose_backgammon":0.0,"lose_gammon":0.125,"lose_single":0.25,"win_single":0.5,)"
      R"("win_gammon":0.0625,"win_backgammon":0.0625})";
  CHECK(sample_json(some_position()) == head + R"(,"end":"win_gammon"})");
  CHECK(sample_json(rolled_position()) ==
        head + R"(,"standard_errors":{"lose_backgammon":0.0,"lose_gammon":0.01,)"
               R"("lose_single":0.02,"win_single":0.03,"win_gammon":0.04,)"
               R"("win_backgammon":0.05},"end":"win_gammon"})");
}

TEST_CASE("The position of a sampled line is read again, and what is none is refused") {
  for (const SampledPosition& sampled : {some_position(), rolled_position()}) {
    CHECK(parse_sampled_position(sample_json(sampled), kMaxCheckers) == sampled.position);
  }
  CHECK(parse_sampled_position(R"({"position":"2 / 1"})", 3) == parse_position("2 / 1", 3));
  CHECK(refusal("{").find("not JSON at column 2") == 0);
  CHECK(refusal(R"({"end":"win_single"})").find("field position: missing") == 0);
  CHECK(refusal(R"({"position":7})").find("field position") == 0);
  CHECK(refusal(R"({"position":"2 / 30"})").find("field position, ") == 0);
  CHECK(refusal(R"({"position":"2x4 / 1"})", 3).find("field position") == 0);
  CHECK(refusal(R"({"position":"2 / 1","both_from_roller":true})")
            .find("field both_from_roller: unknown field") == 0);
  CHECK(refusal(R"({"schema":"sixfold.cube/2","position":"2 / 1"})").find("field schema") == 0);
}

TEST_CASE("Sampled positions are records of NumPy, byte for byte") {
  const Npy npy(sample_npy(std::vector{some_position(), some_position(), some_position()}));
  CHECK(npy.header ==
        "{'descr': [('position', '|i1', (2, 26)), ('outcomes', '<f8', (6,)), ('end', '|i1')], "
        "'fortran_order': False, 'shape': (3,), }");
  constexpr std::size_t kRecord = 2 * 26 + 6 * 8 + 1;
  REQUIRE(npy.records.size() == 3 * kRecord);
  for (std::size_t i = 0; i < 3; ++i) {
    const std::string record = npy.records.substr(i * kRecord, kRecord);
    std::array<char, 52> checkers{};
    checkers[0] = 11;       // Four of the roller's fifteen are on the board,
    checkers[8] = 3;        // three on the 8 point
    checkers[25] = 1;       // and one on the bar;
    checkers[26] = 9;       // six of the opponent's:
    checkers[26 + 6] = 4;   // four on the 6 point
    checkers[26 + 24] = 2;  // and two on the 24 point.
    CHECK(record.substr(0, 52) == std::string(checkers.begin(), checkers.end()));
    std::array<double, 6> outcomes{};
    std::memcpy(outcomes.data(), record.data() + 52, sizeof outcomes);
    CHECK(outcomes == some_position().outcomes.probability);
    CHECK(record.back() == 4);
  }
}

TEST_CASE("Records of rolled-out positions have their errors before the end") {
  const Npy npy(sample_npy(std::vector{rolled_position()}));
  CHECK(npy.header.find("('standard_errors', '<f8', (6,)), ('end', '|i1')]") != std::string::npos);
  REQUIRE(npy.records.size() == 52 + 96 + 1);
  std::array<double, 6> errors{};
  std::memcpy(errors.data(), npy.records.data() + 100, sizeof errors);
  CHECK(errors == *rolled_position().standard_errors);
  CHECK(npy.records.back() == 4);
}

}  // namespace sixfold
