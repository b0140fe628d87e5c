/// Where the verdict flips: which play of a roll is best at which gammon prices.
///
/// With both sides' gammon prices a (the roller's) and b (the opponent's) equity is
///   2 wins - 1 + 2 a (gammons won) - 2 b (gammons lost),
/// losing and winning single games being -1 and +1 and backgammons no more than gammons. Players
/// adapt to the score, so outcomes change over the plane too: they are rolled out at its four
/// corners, with other dice each, and taken to change bilinearly between them.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "equity/score.h"
#include "evaluator/evaluator.h"
#include "rollout/rollout.h"
#include "study/decision.h"

namespace sixfold {

/// The worth of outcomes at two gammon prices.
[[nodiscard]] OutcomeWorth worth_at_prices(const GammonPrices& prices) noexcept;

/// The best two plays at a place of the plane, by number in Flip::plays.
struct FlipPoint {
  GammonPrices prices;
  std::size_t best = 0;
  std::size_t second = 0;
  Estimate lead;  ///< Equity of the best less that of the second, by pairs of trials.
  [[nodiscard]] bool is_settled() const noexcept { return lead.mean > lead.half_width; }
  /// Of the best play: small where the lead is within its interval.
  [[nodiscard]] char letter() const noexcept {
    return static_cast<char>((is_settled() ? 'A' : 'a') + static_cast<int>(best));
  }
};

/// A comparison of the plane with a rollout of its own there, of the two best plays.
struct FlipCheck {
  FlipPoint plane;
  Estimate direct;  ///< The same lead, rolled out at these prices.
};

/// Where two plays are equal on a line of the plane, and where they can't be told apart.
struct BreakEven {
  struct Stretch {
    double low;
    double high;
  };
  std::optional<double> price;  ///< Nothing where the line has no such place between 0 and 1.
  std::vector<Stretch> open;    ///< Prices at which the lead is within its interval, ascending.
};

class Flip {
 public:
  static constexpr int kSteps = 20;  ///< Of a price from 0 to 1.

  Flip(const std::array<RolloutResult, 4>& corners, double confidence);

  /// In the order of how often they are best on the plane, those that never are left out.
  [[nodiscard]] const std::vector<PlayKey>& plays() const noexcept { return plays_; }
  /// So many of them, the first, are best at some place; the others are second at some.
  [[nodiscard]] std::size_t best_somewhere() const noexcept { return best_somewhere_; }
  /// REQUIRES: two plays at least; prices may lie somewhat outside 0..1.
  [[nodiscard]] FlipPoint at(const GammonPrices& prices) const;
  /// The lead of one play over another. REQUIRES: numbers of plays().
  [[nodiscard]] Estimate lead(std::size_t first, std::size_t second,
                              const GammonPrices& prices) const;
  /// Along the roller's price with the opponent's at money's, or the other way round.
  [[nodiscard]] BreakEven break_even(std::size_t first, std::size_t second, bool own_price) const;

 private:
  std::vector<PlayKey> plays_;
  std::size_t best_somewhere_ = 0;
  /// By corner (00, 10, 01, 11: roller's price first), then play.
  std::array<std::vector<std::vector<OutcomeDistribution>>, 4> groups_;
  std::array<double, 4> quantiles_{};  ///< Of the intervals of the corners.
};

/// So many rollouts make a study: one for each corner, and one for each check.
inline constexpr std::size_t kFlipRollouts = 7;

/// A score by its place on the plane.
struct PlaneScore {
  std::string name;
  GammonPrices prices;
};
/// Scores that have names of their own.
inline constexpr std::array kNamedScores{"money", "dmp", "gammon-go", "gammon-save"};
/// Scores are shown up to so many points to go, or as far as the match equity table goes.
inline constexpr int kMostAwayShown = 9;

struct FlipStudy {
  Position position;
  Roll roll;
  RolloutSettings settings;
  Flip flip;
  std::vector<FlipCheck> checks;
  std::size_t looked_at = 0;        ///< Plays that were rolled out at the corners.
  std::vector<PlaneScore> named{};  ///< kNamedScores.
  int most_away = 0;                ///< So many points to go are looked at.
  std::vector<PlaneScore> away{};   ///< By the roller's points to go, then the opponent's.
};

/// Of the plays `among`, or of all where there are none. Nothing when stopped early. Throws
/// InputError when the game is over or has less than two plays.
[[nodiscard]] std::optional<FlipStudy> study_flip(const Instruments& instruments,
                                                  const Position& position, Roll roll,
                                                  const RolloutSettings& settings,
                                                  std::span<const PlayKey> among = {});

}  // namespace sixfold
