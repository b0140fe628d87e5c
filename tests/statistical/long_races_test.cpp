// The doubling borders of long races, static, against the trade's rule for them.
//
// Source: Trice W., Backgammon Boot Camp, 2004, "Rule 62"; from memory. With n pips before the roll
// the opponent's last take is a lead of n / 10 + 1 above 62 pips and (n - 5) / 7 up to there,
// rounded down; two pips before it one redoubles, three before it one doubles first.
#include <array>
#include <catch2/catch.hpp>
#include <map>
#include <string>
#include <vector>

#include "equity/cube_rules.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/start.h"
#include "session/core.h"

namespace sixfold {
namespace {

constexpr int kFewestPips = 60;
constexpr int kMostPips = 110;
/// At the borders themselves rule and truth may differ by as much.
constexpr int kMargin = 2;

/// Sides of races that came up in play, by pips.
std::map<int, std::vector<Side>> natural_sides(const Evaluator& evaluator) {
  std::map<int, std::vector<Side>> sides;
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < 1500; ++game) {
    RandomStream dice(424, game);
    Position position = start_position();
    while (!game_over(position)) {
      if (is_race(position)) {
        for (const Side& side : {position.roller, position.opponent}) {
          sides[side.pips()].push_back(side);
        }
      }
      position = position_after(
          position, best_play(evaluator, position, dice.roll(), kMoneyWorth, scratch).play);
    }
  }
  return sides;
}

int last_take(int pips) { return pips > 62 ? pips / 10 + 1 : (pips - 5) / 7; }

struct Border {
  int right = 0;
  int all = 0;
  [[nodiscard]] double share() const { return static_cast<double>(right) / all; }
};

}  // namespace

TEST_CASE("long races are doubled, taken and passed by the rule, two pips from its borders") {
  Engine engine({.net = std::string(SIXFOLD_NETS) + "/standard.safetensors"});
  const Evaluator& evaluator = engine.core().evaluator();
  const CubeRules rules(money_score(), {}, {}, engine.core().tables().two_sided);
  auto sides = natural_sides(evaluator);
  RandomStream random(99, 1);
  Border first;
  Border again;
  Border take;
  Border take_again;
  for (int i = 0; i < 8000; ++i) {
    const int pips = kFewestPips + static_cast<int>(random.below(kMostPips - kFewestPips + 1));
    const int last = last_take(pips);
    const int lead = static_cast<int>(random.below(static_cast<std::uint32_t>(last + 7))) - 2;
    const auto one_of = [&](int wanted) -> const std::vector<Side>& { return sides[wanted]; };
    const std::vector<Side>& rollers = one_of(pips);
    const std::vector<Side>& opponents = one_of(pips + lead);
    if (rollers.empty() || opponents.empty()) continue;
    const Position position{rollers[random.below(static_cast<std::uint32_t>(rollers.size()))],
                            opponents[random.below(static_cast<std::uint32_t>(opponents.size()))]};
    if (!is_race(position)) continue;
    const Outlook outlook = evaluator.evaluate_with_cube(position);
    const auto decision = [&](CubeOwner owner) {
      return rules.decide(position, outlook.outcomes, outlook.lives, {0, owner}, CubeSide::kPlayer);
    };
    // From `border` on it is done.
    const auto judge = [&](Border& at, int border, bool is_done) {
      if (lead > border - kMargin && lead < border + kMargin) return;
      ++at.all;
      at.right += is_done == (lead >= border) ? 1 : 0;
    };
    const CubeDecision centred = decision(CubeOwner::kCentred);
    const CubeDecision owned = decision(CubeOwner::kRoller);
    judge(first, last - 3, centred.action != CubeAction::kNoDouble);
    judge(again, last - 2, owned.action != CubeAction::kNoDouble);
    judge(take, last + 1, *centred.double_take > *centred.double_pass);
    judge(take_again, last + 1, *owned.double_take > *owned.double_pass);
  }
  WARN("first doubles " << first.share() << " of " << first.all << ", redoubles " << again.share()
                        << " of " << again.all << ", takes " << take.share() << " of " << take.all);
  for (const Border& border : {first, again, take, take_again}) {
    CHECK(border.all > 1000);
    CHECK(border.share() >= 0.9);
  }
}

}  // namespace sixfold
