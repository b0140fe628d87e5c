#include "study/deciding_rolls.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "rules/notation.h"
#include "study/roll_parts.h"

namespace sixfold {
namespace {

std::vector<std::string> names(const std::vector<RollPart>& rolls) {
  std::vector<std::string> texts;
  for (const RollPart& one : rolls) texts.push_back(roll_text(one.roll));
  return texts;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("Rolls beyond their intervals come first, the dearest at the front") {
  RollParts parts = even_parts(0.0, 0.002);
  set(parts, "52", 0.010, 0.002);
  set(parts, "66", 0.020, 0.002);
  set(parts, "31", -0.004, 0.002);
  set(parts, "21", -0.006, 0.002);
  set(parts, "41", 0.030, 0.040);
  const DecidingRolls rolls = deciding_rolls(parts, estimate_of(0.050, 0.060));
  CHECK(names(rolls.pro) == Names{"66", "52"});
  CHECK(names(rolls.contra) == Names{"21", "31"});
  CHECK(rolls.others.size() == kRollCount - 4);
  CHECK_FALSE(rolls.family);
}

TEST_CASE("A family is named that makes half of the difference, and more than is its due") {
  // Sixes are 11 of 36 outcomes: .045 of .060, where .018 would be their due.
  RollParts parts = even_parts(0.001, 0.002);
  for (const char* dice : {"61", "62", "63", "64", "65"}) set(parts, dice, 0.007, 0.002);
  set(parts, "66", 0.010, 0.002);
  const DecidingRolls rolls = deciding_rolls(parts, estimate_of(0.060, 0.008));
  REQUIRE(rolls.family);
  CHECK(rolls.family->number == 6);
  CHECK(names(rolls.family->rolls).front() == "66");
  const Estimate sum = sum_of(rolls.family->rolls);
  CHECK(sum.mean == Approx(0.045));
  CHECK(sum.half_width == Approx(std::sqrt(6.0) * 0.002));
  CHECK(probability_of(rolls.family->rolls) == Approx(11.0 / 36.0));
  // The same where the difference itself may be nothing, and where all rolls are alike.
  CHECK_FALSE(deciding_rolls(parts, estimate_of(0.060, 0.070)).family);
  CHECK_FALSE(deciding_rolls(by_probability(0.060, 0.0001), estimate_of(0.060, 0.001)).family);
}

TEST_CASE("Doubles are a family too") {
  RollParts parts = even_parts(0.0, 0.001);
  for (const char* dice : {"11", "22", "33", "44", "55", "66"}) set(parts, dice, 0.01, 0.001);
  const DecidingRolls rolls = deciding_rolls(parts, estimate_of(0.060, 0.005));
  REQUIRE(rolls.family);
  CHECK(rolls.family->number == 0);
  CHECK(rolls.family->rolls.size() == 6);
}

TEST_CASE("Of two families that is named which has more than its due") {
  // Doubles, 6 of 36 outcomes, make .042; twos, 11 of 36, make .045 with 22 that is of both.
  RollParts parts = even_parts(0.0, 0.001);
  for (const char* dice : {"33", "44", "55"}) set(parts, dice, 0.010, 0.001);
  set(parts, "22", 0.012, 0.001);
  for (const char* dice : {"62", "52", "42"}) set(parts, dice, 0.011, 0.001);
  const DecidingRolls rolls = deciding_rolls(parts, estimate_of(0.075, 0.005));
  REQUIRE(rolls.family);
  CHECK(rolls.family->number == 0);
}

}  // namespace sixfold
