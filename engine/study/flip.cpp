#include "study/flip.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

#include "base/input_error.h"
#include "rules/game_result.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

constexpr std::array<GammonPrices, 4> kCorners{{{0, 0}, {1, 0}, {0, 1}, {1, 1}}};
constexpr std::array<GammonPrices, 3> kChecks{{{0.5, 0.5}, {0.25, 0.75}, {0.75, 0.25}}};

static_assert(kCorners.size() + kChecks.size() == kFlipRollouts);

/// Seeds of the corners and checks lie this far apart.
constexpr std::uint64_t kSeedStep = 1'000'003;

std::array<double, 4> corner_weights(const GammonPrices& prices) noexcept {
  const double a = prices.own;
  const double b = prices.opponents;
  return {(1 - a) * (1 - b), a * (1 - b), (1 - a) * b, a * b};
}

Score score_at(const GammonPrices& prices) {
  Score score;
  score.name = "gammon prices";
  score.worth = worth_at_prices(prices);
  return score;
}

/// "3-away/5-away", with "crawford" where one side alone is 1-away.
std::string away_score_name(int roller, int opponent) {
  const bool crawford = (roller == 1) != (opponent == 1);
  return std::to_string(roller) + "-away/" + std::to_string(opponent) + "-away" +
         (crawford ? " crawford" : "");
}

void place_scores(FlipStudy& study, const MatchEquityTable& table) {
  const auto placed = [&](const std::string& name) {
    return PlaneScore{name, gammon_prices(parse_score(name, table).worth)};
  };
  for (const char* name : kNamedScores) study.named.push_back(placed(name));
  study.most_away = std::min(kMostAwayShown, table.most_away());
  for (int roller = 1; roller <= study.most_away; ++roller) {
    for (int opponent = 1; opponent <= study.most_away; ++opponent) {
      study.away.push_back(placed(away_score_name(roller, opponent)));
    }
  }
}

double worth_of_group(const OutcomeDistribution& best, const OutcomeDistribution& other,
                      const OutcomeWorth& worth) noexcept {
  OutcomeDistribution difference = best;
  difference -= other;
  return worth_of(difference, worth);
}

}  // namespace

OutcomeWorth worth_at_prices(const GammonPrices& prices) noexcept {
  const double won = 1.0 + 2.0 * prices.own;
  const double lost = -1.0 - 2.0 * prices.opponents;
  return {lost, lost, -1.0, 1.0, won, won};
}

Flip::Flip(const std::array<RolloutResult, 4>& corners, double confidence) {
  for (const RolledPlay& rolled : corners[0].plays) plays_.push_back(rolled.play);
  const auto gather = [&] {
    for (std::size_t c = 0; c < corners.size(); ++c) {
      groups_[c].clear();
      for (const PlayKey play : plays_) {
        const auto rolled = std::find_if(corners[c].plays.begin(), corners[c].plays.end(),
                                         [&](const RolledPlay& each) { return each.play == play; });
        groups_[c].push_back(rolled->groups);
      }
    }
  };
  gather();
  for (std::size_t c = 0; c < corners.size(); ++c) {
    quantiles_[c] = block_quantile(groups_[c].front().size(), confidence);
  }
  // The plays that matter: those that are best or second somewhere.
  std::vector<int> best(plays_.size(), 0);
  std::vector<int> second(plays_.size(), 0);
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; j <= kSteps; ++j) {
      const FlipPoint point =
          at({static_cast<double>(i) / kSteps, static_cast<double>(j) / kSteps});
      ++best[point.best];
      ++second[point.second];
    }
  }
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < plays_.size(); ++i) {
    if (best[i] + second[i] > 0) order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) {
    return std::pair(best[x], second[x]) > std::pair(best[y], second[y]);
  });
  std::vector<PlayKey> kept;
  for (const std::size_t i : order) kept.push_back(plays_[i]);
  plays_ = kept;
  best_somewhere_ = static_cast<std::size_t>(
      std::count_if(best.begin(), best.end(), [](int places) { return places > 0; }));
  gather();
}

FlipPoint Flip::at(const GammonPrices& prices) const {
  assert(plays_.size() > 1);
  const OutcomeWorth worth = worth_at_prices(prices);
  const std::array<double, 4> weights = corner_weights(prices);
  std::vector<double> equities(plays_.size(), 0.0);
  for (std::size_t play = 0; play < plays_.size(); ++play) {
    for (std::size_t c = 0; c < weights.size(); ++c) {
      double sum = 0.0;
      for (const OutcomeDistribution& group : groups_[c][play]) sum += worth_of(group, worth);
      equities[play] += weights[c] * sum / static_cast<double>(groups_[c][play].size());
    }
  }
  FlipPoint point{prices, 0, 1, {}};
  if (equities[1] > equities[0]) std::swap(point.best, point.second);
  for (std::size_t play = 2; play < plays_.size(); ++play) {
    if (equities[play] > equities[point.best]) {
      point.second = std::exchange(point.best, play);
    } else if (equities[play] > equities[point.second]) {
      point.second = play;
    }
  }
  point.lead = lead(point.best, point.second, prices);
  return point;
}

Estimate Flip::lead(std::size_t first, std::size_t second, const GammonPrices& prices) const {
  assert(first < plays_.size() && second < plays_.size());
  const OutcomeWorth worth = worth_at_prices(prices);
  const std::array<double, 4> weights = corner_weights(prices);
  Estimate lead;
  double variance = 0.0;
  double half_width_squared = 0.0;
  for (std::size_t c = 0; c < weights.size(); ++c) {
    std::vector<double> differences;
    for (std::size_t k = 0; k < groups_[c][first].size(); ++k) {
      differences.push_back(worth_of_group(groups_[c][first][k], groups_[c][second][k], worth));
    }
    const Estimate corner = estimate_by_quantile(differences, quantiles_[c]);
    lead.mean += weights[c] * corner.mean;
    variance += std::pow(weights[c] * corner.standard_error, 2);
    half_width_squared += std::pow(weights[c] * corner.half_width, 2);
    lead.blocks += corner.blocks;
  }
  lead.standard_error = std::sqrt(variance);
  lead.half_width = std::sqrt(half_width_squared);
  return lead;
}

BreakEven Flip::break_even(std::size_t first, std::size_t second, bool own_price) const {
  constexpr int kFine = 1000;
  BreakEven found;
  bool was_open = false;
  double before = 0.0;
  for (int i = 0; i <= kFine; ++i) {
    const double price = static_cast<double>(i) / kFine;
    const Estimate here =
        lead(first, second, own_price ? GammonPrices{price, 0.5} : GammonPrices{0.5, price});
    if (i > 0 && !found.price && (before < 0.0) != (here.mean < 0.0)) {
      found.price = price - (1.0 / kFine) * here.mean / (here.mean - before);
    }
    before = here.mean;
    const bool is_open = std::abs(here.mean) <= here.half_width;
    if (is_open && !was_open) found.open.push_back({price, price});
    if (is_open) found.open.back().high = price;
    was_open = is_open;
  }
  return found;
}

std::optional<FlipStudy> study_flip(const Instruments& instruments, const Position& position,
                                    Roll roll, const RolloutSettings& settings,
                                    std::span<const PlayKey> among) {
  if (game_over(position)) {
    throw InputError("the game is over: no roll can be played", "position",
                     "checkers on both sides");
  }
  PlayList plays;
  generate_plays(position, roll, plays);
  if (plays.size() < 2) throw InputError("there is no choice", "dice", "a roll with two plays");
  const std::span<const PlayKey> rolled_out = among.empty() ? plays.span() : among;
  RolloutSettings own = settings;
  own.keep_groups = true;
  own.half_width = 0.0;
  const auto rolled_at = [&](const GammonPrices& prices, std::span<const PlayKey> those) {
    return roll_out(instruments.players, position, those, score_at(prices), own,
                    instruments.runner);
  };
  std::array<RolloutResult, 4> corners;
  for (std::size_t c = 0; c < corners.size(); ++c) {
    own.seed = settings.seed + c * kSeedStep;
    corners[c] = rolled_at(kCorners[c], rolled_out);
    if (corners[c].interrupted) return std::nullopt;
  }
  FlipStudy study{position,         roll, settings, Flip(corners, settings.confidence), {},
                  rolled_out.size()};
  place_scores(study, instruments.match_table);
  for (std::size_t c = 0; c < kChecks.size(); ++c) {
    const FlipPoint point = study.flip.at(kChecks[c]);
    const std::array pair{study.flip.plays()[point.best], study.flip.plays()[point.second]};
    own.seed = settings.seed + (kCorners.size() + c) * kSeedStep;
    const RolloutResult direct = rolled_at(kChecks[c], pair);
    if (direct.interrupted) return std::nullopt;
    Estimate lead = direct.plays[1].cost;
    if (direct.plays[0].play != pair[0]) lead.mean = -lead.mean;
    study.checks.push_back({point, lead});
  }
  return study;
}

}  // namespace sixfold
