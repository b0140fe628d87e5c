/// Chances to win a match of several games at every score, and the model they come from.
///
/// A side is n-away when it needs n more points. The first game in which a side is 1-away is the
/// Crawford game, without doubling; after it the trailer doubles at once.
///
/// The table of our own is worked out from scores near the end of the match up. Both sides win half
/// of the games; stated shares of wins are gammons and backgammons; the cube is worth what
/// equity/cube_model.h says for a centred cube at an even position. After the Crawford game the
/// leader may pass the trailer's double (he loses a single point) after seeing the first rolls: his
/// chance to win the game is then taken to be normal around one half.
///
/// Immutable after construction; safe to use from any thread.
#pragma once

#include <cstddef>
#include <vector>

#include "equity/cube_model.h"

namespace sixfold {

inline constexpr int kMostAway = 25;

struct MatchModel {
  double gammon_share;           ///< Of wins: gammons and backgammons.
  double backgammon_share;       ///< Of wins: backgammons.
  double cube_life;              ///< See equity/cube_model.h.
  double first_rolls_deviation;  ///< Of the chance to win, once the leader may pass.
};

/// Measured from rollouts of our own: see engine/equity/README.md.
inline constexpr MatchModel kMatchModel{0.270, 0.012, 0.69, 0.0335};

/// Both sides win half of the games, with the model's gammons.
[[nodiscard]] OutcomeDistribution even_position(const MatchModel& model) noexcept;

class MatchEquityTable {
 public:
  /// Of our own. REQUIRES: 1 <= most_away <= kMostAway.
  explicit MatchEquityTable(const MatchModel& model = kMatchModel, int most_away = kMostAway);
  /// Given ones: rows of most_away chances each, and those of the trailer after the Crawford game.
  /// REQUIRES: the sizes fit; chances are in 0..1; opposite ones add up to 1.
  MatchEquityTable(std::vector<double> before, std::vector<double> after_crawford);

  [[nodiscard]] int most_away() const noexcept { return most_away_; }

  /// The chance of the side that is `away` against one that is `other` away, up to and including
  /// the Crawford game. 1 or 0 where one of the two needs no more. REQUIRES: both <= most_away().
  [[nodiscard]] double chance(int away, int other) const noexcept;
  /// The trailer's after the Crawford game. REQUIRES: away <= most_away().
  [[nodiscard]] double after_crawford(int away) const noexcept;

 private:
  [[nodiscard]] std::size_t place(int away, int other) const noexcept {
    return static_cast<std::size_t>((away - 1) * most_away_ + other - 1);
  }
  void fill_after_crawford(const MatchModel& model);
  void fill_crawford(const MatchModel& model);
  [[nodiscard]] double with_cube(const MatchModel& model, int away, int other) const;

  int most_away_;
  std::vector<double> chances_;
  std::vector<double> after_crawford_;
};

/// The table of our own, worked out when it is first asked for.
[[nodiscard]] const MatchEquityTable& own_match_equities();

enum class MatchPhase { kBeforeCrawford, kCrawford, kAfterCrawford };

/// A score and what it becomes. Sides that are 1-away both are after the Crawford game.
struct MatchScore {
  int roller_away = 1;
  int opponent_away = 1;
  MatchPhase phase = MatchPhase::kAfterCrawford;
  friend bool operator==(const MatchScore&, const MatchScore&) = default;
};

/// The roller's chance to win the match after he has won so many points (lost, below zero).
[[nodiscard]] double chance_after(const MatchEquityTable& table, const MatchScore& score,
                                  int points) noexcept;

/// What the cube model needs: the stakes at this value of the cube and at each doubling of it, in
/// chances to win the match. In the Crawford game nobody doubles; nobody doubles when winning the
/// present value already wins the match.
[[nodiscard]] std::vector<Stake> match_stakes(const MatchEquityTable& table,
                                              const MatchScore& score, int value);

}  // namespace sixfold
