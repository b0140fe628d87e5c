// Measures what the match equity table and the cube model assume, on a net's games with itself:
// the shares of gammons and backgammons, how far the first rolls move the chance to win, and the
// life of the cube.
// Run as: sixfold_match_model NET [GAMES] [THREADS]
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numbers>
#include <optional>
#include <vector>

#include "base/workers.h"
#include "equity/cube.h"
#include "evaluator/network_file.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/start.h"
#include "session/core.h"

namespace {

using namespace sixfold;

constexpr std::uint64_t kSeed = 20'261'128;
constexpr double kGuess = 0.68;  // The life by which the players of these games double.

double win_chance(const OutcomeDistribution& o) { return o[3] + o[4] + o[5]; }

// Sums of a ratio of two means, and its standard error as if the games were independent.
struct Ratio {
  double y = 0.0, x = 0.0, yy = 0.0, xy = 0.0, xx = 0.0;
  std::uint64_t count = 0;
  void add(double numerator, double denominator) {
    y += numerator;
    x += denominator;
    yy += numerator * numerator;
    xy += numerator * denominator;
    xx += denominator * denominator;
    ++count;
  }
  void add(const Ratio& other) {
    y += other.y;
    x += other.x;
    yy += other.yy;
    xy += other.xy;
    xx += other.xx;
    count += other.count;
  }
  void print(const char* name) const {
    const double ratio = y / x;
    const double variance = yy - 2.0 * ratio * xy + ratio * ratio * xx;
    std::printf("  %-34s %.4f ± %.4f  (%llu)\n", name, ratio,
                1.96 * std::sqrt(variance) / std::abs(x), static_cast<unsigned long long>(count));
  }
};

enum Measure {
  kGammons,
  kBackgammons,
  kFirstRolls,
  kOwnedContact,
  kOwnedRace,
  kCentredContact,
  kCentredRace,
  kMeasures
};
using Measures = std::array<Ratio, kMeasures>;

// A cube that was put into a game at some turn: what it adds to the cubeless result.
struct Bet {
  Measure measure;
  std::size_t side;                // 0: he who began the game; the bet is seen from here
  Cube cube;                       // from the viewpoint of `side`
  double expected;                 // what a live cube would add
  std::optional<double> result{};  // by a pass
};

class Game {
 public:
  Game(const Evaluator& evaluator, std::uint64_t number)
      : evaluator_(evaluator), dice_(kSeed, number) {}

  void play(Measures& measures) {
    Position position = start_position();
    Roll roll = dice_.roll();
    while (roll.is_doubles()) roll = dice_.roll();
    for (std::size_t ply = 0; !game_over(position); ++ply) {
      if (ply > 0) {
        const OutcomeDistribution outcomes = evaluator_.evaluate(position);
        // The leader may pass once the trailer can double: after one roll of his own, or two.
        if (ply <= 2) {
          const double excess = std::max(0.0, win_chance(outcomes) - 0.5);
          measures[kFirstRolls].add(excess * std::sqrt(2.0 * std::numbers::pi), 1.0);
        }
        turn(ply % 2, position, outcomes);
        roll = dice_.roll();
      }
      position = position_after(position,
                                best_play(evaluator_, position, roll, kMoneyWorth, scratch_).play);
      ++plies_;
    }
    finish(measures, *game_result(position));
  }

 private:
  // The side on roll doubles in all bets where that is right; new bets begin.
  void turn(std::size_t side, const Position& position, const OutcomeDistribution& outcomes) {
    for (Bet& bet : bets_) {
      if (bet.result) continue;
      Cube cube = bet.cube;
      const bool own = bet.side == side;
      if (!own) cube.owner = reversed(cube.owner);
      const CubeAction action = cube_decision(outcomes, money_, cube, equal_lives(kGuess)).action;
      if (action == CubeAction::kDoublePass) bet.result = own ? cube.value : -cube.value;
      if (action != CubeAction::kDoubleTake) continue;
      bet.cube = {2 * cube.value, own ? CubeOwner::kOpponent : CubeOwner::kRoller};
    }
    const double p = win_chance(outcomes);
    const bool race = is_race(position);
    if (p > 0.70 && p < 0.79) {
      begin(race ? kOwnedRace : kOwnedContact, side, {2, CubeOwner::kOpponent}, outcomes);
    }
    if (p > 0.58 && p < 0.68) {
      begin(race ? kCentredRace : kCentredContact, side, {}, outcomes);
    }
  }

  void begin(Measure measure, std::size_t side, const Cube& cube,
             const OutcomeDistribution& outcomes) {
    if (begun_[measure]) return;
    begun_[measure] = true;
    const double live = equity_with_cube(outcomes, money_, cube, equal_lives(1.0));
    const double dead = equity_with_cube(outcomes, money_, cube, equal_lives(0.0));
    bets_.push_back({measure, side, cube, cube.value * (live - dead)});
    values_.push_back(cube.value);
  }

  void finish(Measures& measures, Outcome of_next) {
    const double points = kMoneyWorth[static_cast<std::size_t>(of_next)];
    const double of_first = plies_ % 2 == 0 ? points : -points;
    measures[kGammons].add(std::abs(points) >= 2.0 ? 1.0 : 0.0, 1.0);
    measures[kBackgammons].add(std::abs(points) >= 3.0 ? 1.0 : 0.0, 1.0);
    for (std::size_t i = 0; i < bets_.size(); ++i) {
      const Bet& bet = bets_[i];
      const double cubeless = bet.side == 0 ? of_first : -of_first;
      const double with_cube = bet.result.value_or(bet.cube.value * cubeless);
      measures[bet.measure].add(with_cube - values_[i] * cubeless, bet.expected);
    }
  }

  const Score money_ = money_score();
  const Evaluator& evaluator_;
  RandomStream dice_;
  ChoiceScratch scratch_;
  std::vector<Bet> bets_;
  std::vector<double> values_;  // of the cube when each bet began
  std::array<bool, kMeasures> begun_{};
  std::size_t plies_ = 0;
};

// The life that fits the exact equities of bear-offs best, over all positions of the table with a
// chance to win between .2 and .8, each as often as any other.
void print_exact_life(const TwoSidedTable& table) {
  const Score money = money_score();
  const SideIndex index(6, 6);
  std::array<Ratio, 3> lives;
  for (std::uint32_t r = 1; r < index.size(); r += 7) {
    for (std::uint32_t o = 1; o < index.size(); o += 5) {
      const Position position{index.side(r), index.side(o)};
      if (game_over(position) || !table.holds(position)) continue;
      const TwoSidedTable::Entry entry = table.entry(position);
      if (entry.win_probability < 0.2 || entry.win_probability > 0.8) continue;
      const OutcomeDistribution outcomes = table.outcomes(position);
      const std::array exact{entry.hold_centred, entry.hold_owned, entry.opponents};
      for (std::size_t owner = 0; owner < 3; ++owner) {
        const Cube cube{owner == 0 ? 1 : 2, static_cast<CubeOwner>(owner)};
        const double live = equity_with_cube(outcomes, money, cube, equal_lives(1.0));
        const double dead = equity_with_cube(outcomes, money, cube, equal_lives(0.0));
        lives[owner].add((exact[owner] - dead) * (live - dead), (live - dead) * (live - dead));
      }
    }
  }
  std::puts("life of the cube, exact bear-offs (least squares)");
  lives[0].print("centred, not turned at once");
  lives[1].print("the roller's, not turned at once");
  lives[2].print("the opponent's");
}

}  // namespace

int main(int arguments, char** values) {
  if (arguments < 2) {
    std::fputs("usage: sixfold_match_model NET [GAMES] [THREADS]\n", stderr);
    return 2;
  }
  const std::uint64_t games = arguments > 2 ? std::strtoull(values[2], nullptr, 10) : 100'000;
  Engine engine({.net = values[1], .threads = arguments > 3 ? std::atoi(values[3]) : 0});
  const Core& core = engine.core();
  Workers workers(core.threads());
  constexpr std::uint64_t kGamesATask = 50;
  std::vector<Measures> parts((games + kGamesATask - 1) / kGamesATask);
  workers.for_each(parts.size(), [&](std::size_t task) {
    for (std::uint64_t i = 0; i < kGamesATask; ++i) {
      Game(core.evaluator(), task * kGamesATask + i).play(parts[task]);
    }
  });
  Measures measures;
  for (const Measures& part : parts) {
    for (std::size_t m = 0; m < kMeasures; ++m) measures[m].add(part[m]);
  }
  std::printf("%zu games of %s\n", parts.size() * kGamesATask, values[1]);
  measures[kGammons].print("gammons and backgammons of wins");
  measures[kBackgammons].print("backgammons of wins");
  measures[kFirstRolls].print("deviation of the first rolls");
  std::puts("life of the cube, games (ratio of means)");
  measures[kOwnedContact].print("contact, just taken");
  measures[kCentredContact].print("contact, centred, .58 to .68");
  measures[kOwnedRace].print("race, just taken");
  measures[kCentredRace].print("race, centred, .58 to .68");
  print_exact_life(*core.tables().two_sided);
  return 0;
}
