#include "exact/exact_tables.h"

#include "base/hash.h"
#include "rules/game_result.h"

namespace sixfold {

ExactTables ExactTables::bear_offs(int race_points, Workers& workers, TableCache& cache) {
  ExactTables tables;
  tables.one_sided =
      std::make_shared<OneSidedTable>(OneSidedTable::from_cache(race_points, workers, cache));
  tables.two_sided = std::make_shared<TwoSidedTable>(TwoSidedTable::from_cache(workers, cache));
  return tables;
}

std::uint64_t ExactTables::hash() const noexcept {
  std::uint64_t hash = kHashOfNothing;
  if (one_sided) hash = hash_step(hash, one_sided->hash());
  if (two_sided) hash = hash_step(hash, two_sided->hash());
  return hash;
}

std::optional<OutcomeDistribution> ExactTables::exact(const Position& position) const noexcept {
  if (const auto result = game_result(position)) return certain(*result);
  if (game && game->holds(position)) return game->outcomes(position);
  if (two_sided && two_sided->holds(position)) return two_sided->outcomes(position);
  return std::nullopt;
}

std::optional<OutcomeDistribution> ExactTables::race(const Position& position) const noexcept {
  if (one_sided && one_sided->holds_race(position)) return one_sided->race_outcomes(position);
  return std::nullopt;
}

}  // namespace sixfold
