#include "encoding/roll_facts.h"

#include <algorithm>
#include <bit>
#include <cassert>

#include "encoding/fact_numbers.h"
#include "rules/steps.h"

namespace sixfold {
namespace {

#include "encoding/fact_finder.inc"

}  // namespace

RollFacts roll_facts(const Position& position) noexcept {
  assert(!game_over(position));
  const FactFinder finder(position);
  RollFacts facts;
  for (std::size_t list = 0; list < RollFacts::kSharedLists; ++list) {
    finder.shared(list, [&](int fact) { facts.shared[list].push(fact); });
  }
  for (const Roll roll : kRolls) {
    const auto r = static_cast<std::size_t>(roll.index());
    finder.own(roll, [&](int fact) { facts.own[r].push(fact); });
    facts.uses[r] = static_cast<std::uint16_t>(finder.uses(roll));
  }
  return facts;
}

std::vector<FactSlots> slots_of_roll(Roll roll) {
  std::vector<FactSlots> slots{{kBars + roll.index() * kBarCounts, kBarCounts, 1}};
  const auto add_steps = [&](int die, int first_origin, int origins) {
    constexpr int kSize = kLandings * kStackSizes;
    const int start = (die - 1) * kOrigins + first_origin - 1;
    slots.push_back({kSteps + start * kSize, kSize, origins});
  };
  if (roll.is_doubles()) {
    const int die = roll.high;
    add_steps(die, kBar, 1);
    slots.push_back({kStrides + (die - 1) * kMostSteps * kOrigins * kLandings, kLandings,
                     kMostSteps * kOrigins});
    slots.push_back({kStocks + (die - 1) * kOrigins * kMostSteps, kMostSteps, kOrigins});
    return slots;
  }
  for (const int die : {int{roll.high}, int{roll.low}}) {
    add_steps(die, 1, kOrigins);
    slots.push_back({kNoStep + die - 1, 1, 1});
  }
  const int pips = roll.high + roll.low;
  slots.push_back({kRuns + (pips - kLeastRun) * kOrigins * kLandings, kLandings, kOrigins});
  slots.push_back({kMeetings, kLandings, kOrigins});
  return slots;
}

}  // namespace sixfold
