#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cstddef>
#include <set>
#include <string>
#include <vector>

#include "encoding/facts_of_roll.h"
#include "encoding/position_fixtures.h"
#include "encoding/roll_facts.h"

namespace sixfold {
namespace {

/// Checks that each slot of the roll has room for its facts: one at most is true, and none is
/// outside of all.
void check_slots(const std::vector<Fact>& facts, const std::vector<int>& slot_of_fact,
                 const std::string& text) {
  std::set<int> taken;
  for (const Fact fact : facts) {
    const int slot = slot_of_fact[fact];
    if (slot < 0) FAIL(text << ": fact " << fact << " is in no slot");
    if (!taken.insert(slot).second) FAIL(text << ": fact " << fact << " finds its slot taken");
  }
}

/// The number of the slot of each fact, or -1. No two slots may overlap.
std::vector<int> slots_of_facts(Roll roll) {
  std::vector<int> slot_of_fact(kFactCount, -1);
  int slot = 0;
  for (const FactSlots& slots : slots_of_roll(roll)) {
    REQUIRE(slots.first >= 0);
    REQUIRE(slots.size > 0);
    REQUIRE(slots.count > 0);
    REQUIRE(slots.first + slots.size * slots.count <= kFactCount);
    for (int i = 0; i < slots.size * slots.count; ++i) {
      int& entry = slot_of_fact[static_cast<std::size_t>(slots.first + i)];
      if (entry != -1) FAIL("fact " << slots.first + i << " is in two slots");
      entry = slot + i / slots.size;
    }
    slot += slots.count;
  }
  return slot_of_fact;
}

}  // namespace

TEST_CASE("every fact of a roll has a slot of the roll to itself") {
  std::array<std::vector<int>, kRollCount> slots;
  for (const Roll roll : kRolls) {
    slots[static_cast<std::size_t>(roll.index())] = slots_of_facts(roll);
  }
  for (const Position& position : many_positions(2, 8000)) {
    const RollFacts facts = roll_facts(position);
    for (const Roll roll : kRolls) {
      check_slots(facts_of_roll(facts, roll), slots[static_cast<std::size_t>(roll.index())],
                  case_text(position, roll));
    }
  }
}

TEST_CASE("every fact is in a slot of some roll") {
  std::vector<bool> covered(kFactCount, false);
  for (const Roll roll : kRolls) {
    const std::vector<int> slots = slots_of_facts(roll);
    for (std::size_t fact = 0; fact < slots.size(); ++fact) {
      if (slots[fact] >= 0) covered[fact] = true;
    }
  }
  // Strides and stocks of a die, bars of a roll, and so on: every group belongs to some roll.
  CHECK(std::count(covered.begin(), covered.end(), true) == kFactCount);
}

}  // namespace sixfold
