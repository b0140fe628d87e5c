#include "exact/few_checkers.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <string>

#include "rules/game_result.h"
#include "rules/location_set.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

constexpr double kEqualWorth = 1e-13;
constexpr std::size_t kChunk = 512;
/// Sweeps of a fixed policy before the plays are chosen anew.
constexpr int kMostFixedSweeps = 60;
/// ... or fewer, once changes are this small against the change that choosing plays made.
constexpr double kSettled = 1e-3;

/// All sides of a game, with the points that they hold.
class Sides {
 public:
  explicit Sides(const SideIndex& index) {
    for (std::uint32_t number = 0; number < index.size(); ++number) {
      const Side side = index.side(number);
      const LocationSet points = side.locations_with(1) & kPointSet;
      sides_.push_back({side, points, mirrored_set(points), side.pips()});
    }
  }
  [[nodiscard]] const Side& side(std::size_t number) const { return sides_[number].side; }
  [[nodiscard]] int pips(std::size_t number) const { return sides_[number].pips; }
  [[nodiscard]] bool share_a_point(std::size_t roller, std::size_t opponent) const {
    return (sides_[roller].points & sides_[opponent].mirrored_points) != 0;
  }
  /// Calls visit(roller, opponent) for each pair of an unfinished game; number 0 is all off.
  template <typename Visit>
  void for_each_unfinished(Visit visit) const {
    for (std::size_t roller = 1; roller < sides_.size(); ++roller) {
      for (std::size_t opponent = 1; opponent < sides_.size(); ++opponent) {
        if (!share_a_point(roller, opponent)) visit(roller, opponent);
      }
    }
  }

 private:
  struct Entry {
    Side side;
    LocationSet points;
    LocationSet mirrored_points;
    int pips;
  };
  std::vector<Entry> sides_;
};

double seen_by_other(double equity) { return -equity; }
OutcomeDistribution seen_by_other(const OutcomeDistribution& outcomes) {
  return reversed(outcomes);
}
double change_of(double a, double b) { return std::abs(a - b); }
double change_of(const OutcomeDistribution& a, const OutcomeDistribution& b) {
  double most = 0.0;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) most = std::max(most, std::abs(a[o] - b[o]));
  return most;
}

/// What a stored game may hold, whoever stored it: but for rounding, distributions, and nothing at
/// places that no game reaches.
bool is_distribution(const OutcomeDistribution& outcomes) {
  constexpr double kRounding = 1e-9;
  double sum = 0.0;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    if (!(outcomes[o] >= -kRounding && outcomes[o] <= 1.0 + kRounding)) return false;
    sum += outcomes[o];
  }
  return sum < 1.0 + 1e-6;
}

}  // namespace

/// Where the two players' worths differ, each position has a value for each of them on roll: the
/// two views. At a score that is the same for both, one view serves.
class FewCheckersSolver {
 public:
  FewCheckersSolver(const SolvedGame::Settings& settings, Workers& workers)
      : settings_(settings),
        workers_(workers),
        game_(settings.checkers),
        sides_(game_.index_),
        size_(game_.index_.size()),
        worths_{settings.worth, opponents_worth(settings.worth)},
        views_(worths_[0] == worths_[1] ? 1 : 2) {
    sides_.for_each_unfinished([&](std::size_t roller, std::size_t opponent) {
      const auto pips = static_cast<std::size_t>(sides_.pips(roller) + sides_.pips(opponent));
      if (groups_.size() <= pips) groups_.resize(pips + 1);
      groups_[pips].places.push_back(static_cast<std::uint32_t>(roller * size_ + opponent));
    });
    std::size_t first = 0;
    for (Group& group : groups_) {
      group.first = first;
      first += group.places.size();
    }
    for (int view = 0; view < views_; ++view) {
      chosen_.emplace_back(first * kRollCount, kNoChoice);
      auto& values = equities_.emplace_back(size_ * size_, 0.0);
      for_each_finished([&](std::size_t place, Outcome outcome) {
        values[place] = worths_[static_cast<std::size_t>(view)][static_cast<std::size_t>(outcome)];
      });
    }
  }

  std::optional<SolvedGame> run() {
    while (true) {
      const double gain = sweep(equities_, [this](auto&&... at) { return improved(at...); });
      if (stopped()) return std::nullopt;
      if (gain < settings_.last_change) break;
      for (int i = 0; i < kMostFixedSweeps; ++i) {
        const double change =
            sweep(equities_, [this](auto&&... at) { return expected(equities_, at...); });
        if (stopped()) return std::nullopt;
        if (change < kSettled * gain) break;
      }
    }
    equities_.clear();
    std::vector<std::vector<OutcomeDistribution>> outcomes;
    for (int view = 0; view < views_; ++view) {
      auto& values = outcomes.emplace_back(size_ * size_);
      for_each_finished(
          [&](std::size_t place, Outcome outcome) { values[place] = certain(outcome); });
    }
    double change = 1.0;
    while (change >= settings_.last_change) {
      change = sweep(outcomes, [&](auto&&... at) { return expected(outcomes, at...); });
      if (stopped()) return std::nullopt;
    }
    game_.outcomes_ = std::move(outcomes.front());
    return std::move(game_);
  }

 private:
  static constexpr std::uint32_t kNoChoice = ~std::uint32_t{0};

  /// The places of the positions with one number of pips, both sides taken together.
  struct Group {
    std::vector<std::uint32_t> places;
    std::size_t first = 0;  ///< How many places the groups before it have.
  };

  [[nodiscard]] bool stopped() const { return settings_.stop != nullptr && *settings_.stop; }
  [[nodiscard]] Position position_at(std::size_t place) const {
    return {sides_.side(place / size_), sides_.side(place % size_)};
  }
  [[nodiscard]] std::size_t next_view(std::size_t view) const {
    return (view + 1) % static_cast<std::size_t>(views_);
  }

  template <typename Visit>
  void for_each_finished(Visit visit) const {
    for (std::size_t number = 1; number < size_; ++number) {
      for (const std::size_t place : {number, number * size_}) {
        visit(place, *game_result(position_at(place)));
      }
    }
  }

  /// Replaces each value by value_of(view, place, number among all unfinished positions). Returns
  /// the largest change. Values of a group are put in place after the whole group, so that they
  /// don't depend on the order within it.
  template <typename Value, typename ValueOf>
  double sweep(std::vector<std::vector<Value>>& values, ValueOf value_of) {
    double change = 0.0;
    std::vector<Value> fresh;
    for (std::size_t view = 0; view < values.size(); ++view) {
      for (const Group& group : groups_) {
        if (stopped()) return change;
        const std::size_t count = group.places.size();
        fresh.resize(count);
        workers_.for_each((count + kChunk - 1) / kChunk, [&](std::size_t chunk) {
          const std::size_t end = std::min(count, (chunk + 1) * kChunk);
          for (std::size_t i = chunk * kChunk; i < end; ++i) {
            fresh[i] = value_of(view, group.places[i], group.first + i);
          }
        });
        for (std::size_t i = 0; i < count; ++i) {
          Value& value = values[view][group.places[i]];
          change = std::max(change, change_of(value, fresh[i]));
          value = fresh[i];
        }
      }
    }
    ++sweeps_;
    if (settings_.progress) settings_.progress(sweeps_, change);
    return change;
  }

  /// The value of a position under the plays chosen last.
  template <typename Value>
  [[nodiscard]] Value expected(const std::vector<std::vector<Value>>& values, std::size_t view,
                               std::uint32_t, std::size_t number) const {
    Value mean{};
    for (const Roll roll : kRolls) {
      const auto r = static_cast<std::size_t>(roll.index());
      Value value = values[next_view(view)][chosen_[view][number * kRollCount + r]];
      value *= static_cast<double>(roll.weight()) / kDiceOutcomes;
      mean += seen_by_other(value);
    }
    return mean;
  }

  /// Chooses the plays of a position anew; a play chosen before stays unless another is better.
  [[nodiscard]] double improved(std::size_t view, std::uint32_t place, std::size_t number) {
    const Position position = position_at(place);
    const std::vector<double>& next = equities_[next_view(view)];
    double mean = 0.0;
    PlayList plays;
    for (const Roll roll : kRolls) {
      const auto r = static_cast<std::size_t>(roll.index());
      std::uint32_t& chosen = chosen_[view][number * kRollCount + r];
      double best = chosen == kNoChoice ? -1e9 : -next[chosen];
      generate_plays(position, roll, plays);
      for (const PlayKey play : plays) {
        const std::uint32_t after = place_after(position, place, play);
        if (-next[after] <= best + kEqualWorth) continue;
        best = -next[after];
        chosen = after;
      }
      mean += best * (static_cast<double>(roll.weight()) / kDiceOutcomes);
    }
    return mean;
  }

  [[nodiscard]] std::uint32_t place_after(const Position& position, std::uint32_t place,
                                          PlayKey play) const {
    const std::uint32_t mover = game_.index_.number(play.mover());
    const auto other = play.hits() == 0
                           ? static_cast<std::uint32_t>(place % size_)
                           : game_.index_.number(position_after(position, play).roller);
    return other * static_cast<std::uint32_t>(size_) + mover;
  }

  const SolvedGame::Settings& settings_;
  Workers& workers_;
  SolvedGame game_;
  Sides sides_;
  std::size_t size_;
  std::array<OutcomeWorth, 2> worths_;
  int views_;
  std::vector<Group> groups_;
  std::vector<std::vector<double>> equities_;  ///< [view][place], for the side on roll.
  /// [view][number * 21 + roll]: the place that the chosen play leads to.
  std::vector<std::vector<std::uint32_t>> chosen_;
  int sweeps_ = 0;
};

SolvedGame::SolvedGame(int checkers) : index_(kBar, checkers) {}

std::optional<SolvedGame> SolvedGame::solve(const Settings& settings, Workers& workers) {
  assert(settings.checkers >= 1 && settings.checkers <= kMostCheckers);
  return FewCheckersSolver(settings, workers).run();
}

std::string SolvedGame::cache_name(int checkers) {
  return "solved-" + std::to_string(checkers) + "-money";
}

std::optional<SolvedGame> SolvedGame::from_cache(int checkers, TableCache& cache) {
  SolvedGame game(checkers);
  const std::size_t size = game.index_.size();
  const auto is_sound = [&] {
    return std::all_of(game.outcomes_.begin(), game.outcomes_.end(), is_distribution);
  };
  if (!cache.load(cache_name(checkers), {size * size}, is_sound, game.outcomes_)) {
    return std::nullopt;
  }
  return game;
}

void SolvedGame::store(TableCache& cache) const { cache.store(cache_name(checkers()), outcomes_); }

std::size_t SolvedGame::positions() const {
  std::size_t count = 0;
  Sides(index_).for_each_unfinished([&](std::size_t, std::size_t) { ++count; });
  return count;
}

void SolvedGame::for_each_position(const std::function<void(const Position&)>& visit) const {
  const Sides sides(index_);
  sides.for_each_unfinished([&](std::size_t roller, std::size_t opponent) {
    visit({sides.side(roller), sides.side(opponent)});
  });
}

}  // namespace sixfold
