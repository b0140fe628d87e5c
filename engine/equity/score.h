/// What the six outcomes of a game are worth at a score.
///
/// Equity is measured so that at match scores losing a single game at the cube's present value is
/// -1 and winning one +1; at money it is points for each unit of the cube. Pure arithmetic on plain
/// values; safe to use from any thread.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "equity/cube_model.h"
#include "equity/match_equity.h"
#include "rules/outcome_distribution.h"
#include "rules/types.h"

namespace sixfold {

struct Score {
  std::string name;    ///< "money", "dmp", "3-away/5-away", ...
  OutcomeWorth worth;  ///< For the side on roll, the cube at 1 and dead.
  /// The side on roll's chance of winning the match after losing and after winning a single game;
  /// absent at money.
  struct MatchChances {
    double after_single_loss;
    double after_single_win;
    friend bool operator==(const MatchChances&, const MatchChances&) = default;
  };
  std::optional<MatchChances> match;
  std::optional<MatchScore> away;  ///< Absent at money.
  /// With the cube at 1, 2, 4, ... as far as it goes: in chances to win the match, or in points.
  std::vector<Stake> stakes;
  friend bool operator==(const Score&, const Score&) = default;
};

/// Money play: points for each unit of the cube.
[[nodiscard]] Score money_score();

/// `money`; `dmp` (double match point); `gammon-go` (the roller 2-away, the opponent 1-away,
/// Crawford game) and `gammon-save` (1-away against 2-away, Crawford game); any
/// `A-away/B-away`, where a side that is 1-away needs `crawford` or `post-crawford` behind it. The
/// first number is the side on roll's. Throws InputError for any other text, and for scores that
/// are impossible or beyond the table, which says what a match is worth.
[[nodiscard]] Score parse_score(std::string_view text, const MatchEquityTable& table);

/// Money as it is played by the Jacoby rule: gammons count once the cube has been turned.
[[nodiscard]] Score by_jacoby_rule(Score money);

/// What a gammon is worth beyond a single win, in units of the difference between a single win and
/// a loss: (E_gammon - E_win) / (E_win - E_lose), and the same of the opponent's gammons.
struct GammonPrices {
  double own;
  double opponents;
};
[[nodiscard]] GammonPrices gammon_prices(const OutcomeWorth& worth) noexcept;

/// What players choose plays by: the worth of outcomes, and where a larger win or loss is worth the
/// same as a smaller one, a little for it. What does not count is then not played with abandon: the
/// chance to win that it costs at most is far below what evaluators tell apart.
[[nodiscard]] OutcomeWorth choosing_worth(OutcomeWorth worth) noexcept;

/// Match-winning chance at an equity with the cube at 1; nothing at money.
[[nodiscard]] std::optional<double> match_winning_chance(const Score& score,
                                                         double equity) noexcept;

}  // namespace sixfold
