#include "study/bear_off.h"

namespace sixfold {
namespace {

BearOffSide side_facts(const OneSidedTable& table, const Side& side) {
  return {side.pips(), table.mean_rolls(side), table.standard_deviation(side), table.rolls(side)};
}

}  // namespace

std::optional<BearOffFacts> bear_off_facts(const ExactTables& tables, const Position& position) {
  if (!tables.one_sided || game_over(position) || !is_race(position)) return std::nullopt;
  const OneSidedTable& table = *tables.one_sided;
  if (!table.holds(position.roller) || !table.holds(position.opponent)) return std::nullopt;
  BearOffFacts facts{side_facts(table, position.roller), side_facts(table, position.opponent), {}};
  if (tables.two_sided && tables.two_sided->holds(position)) {
    facts.cube = tables.two_sided->entry(position);
  }
  return facts;
}

}  // namespace sixfold
