#include "study/bear_off.h"

#include <catch2/catch.hpp>
#include <string>

#include "equity/cube.h"
#include "exact/bear_off_tables.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::string action(std::string position, bool centred) {
  const TwoSidedTable::Entry& entry = bear_off_tables().two_sided->entry(parse_position(position));
  return std::string(action_text(
      exact_decision(entry, centred ? CubeOwner::kCentred : CubeOwner::kRoller).action));
}

}  // namespace

TEST_CASE("The cube actions of bear-offs are the published ones") {
  // Jacoby O. & Crawford J., The Backgammon Book, 1970 (5-2 v 4-1: Jacoby's paradox); the others
  // computed exactly by independent code.
  CHECK(action("5 2 / 4 1", true) == std::string("double, take"));
  CHECK(action("5 2 / 4 1", false) == std::string("no double"));
  CHECK(action("5 2 / 1x2", true) == std::string("double, take"));
  CHECK(action("5 2 / 1x2", false) == std::string("double, take"));
  CHECK(action("3x2 / 3x2", true) == std::string("double, pass"));
  CHECK(action("6x3 / 6x3", true) == std::string("double, take"));
  CHECK(action("6x3 / 6x3", false) == std::string("double, take"));
  // Take and pass are exactly equal: a take.
  CHECK(action("6 / 6", true) == std::string("double, take"));
}

TEST_CASE("A bear-off has facts where the one-sided table holds both sides") {
  CHECK(bear_off_facts(bear_off_tables(), parse_position("6x15 / 6x15")));
  CHECK_FALSE(bear_off_facts(bear_off_tables(), parse_position("7x15 / 6x15")));
}

}  // namespace sixfold
