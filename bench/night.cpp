// What a night's order is worth: a hundred decisions whose truth is drawn, rolled out by the
// queue's own states, standings and choice of what goes on, and one after the other. Trials are
// numbers of a normal distribution about the truth, so that a night takes seconds. Prints, at
// shares of the time that all of them need: how many verdicts are settled, which share of those
// wrongly, and how often the interval of what the closest play costs holds the truth.
//
// Run as: sixfold_night [NIGHTS [SEED]]
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <numbers>
#include <vector>

#include "queue/next_up.h"
#include "rollout/random_stream.h"
#include "rules/start.h"
#include "study/comparisons.h"

namespace {

using namespace sixfold;

constexpr std::size_t kDecisions = 100;
constexpr double kWanted = 0.01;

/// Disputed decisions: the closest play costs 0.02 on average, each further one as much as 0.03 to
/// 0.04 more; differences of a trial spread by 0.3 to 0.9 and take 0.3 to 1 ms. These are
/// the ranges of the opening's and of the demo lesson's rollouts.
struct Truth {
  std::vector<double> costs;
  double spread;   ///< Of a trial's difference of two plays.
  double seconds;  ///< Of a trial.
};

double exponential(RandomStream& stream, double mean) {
  return -mean * std::log(1.0 - stream.uniform());
}

double normal(RandomStream& stream) {
  const double radius = std::sqrt(-2.0 * std::log(1.0 - stream.uniform()));
  return radius * std::cos(2.0 * std::numbers::pi * stream.uniform());
}

Truth drawn_truth(RandomStream& stream) {
  Truth truth{{0.0}, 0.3 + 0.6 * stream.uniform(), 3e-4 + 7e-4 * stream.uniform()};
  const std::uint32_t others = 1 + stream.below(12);
  truth.costs.push_back(exponential(stream, 0.02));
  while (truth.costs.size() <= others) {
    truth.costs.push_back(truth.costs.back() + exponential(stream, 0.035));
  }
  // The best is not always the first of the list.
  std::swap(truth.costs.front(), truth.costs[stream.below(others + 1)]);
  return truth;
}

/// A decision after so many rounds.
struct After {
  Standing standing;
  bool is_right = false;  ///< The play that comes out best is.
  bool holds = false;     ///< The interval of what the closest costs does.
};

/// A decision, round by round: what it holds after so many depends on nothing else, so each is
/// played once for all nights.
class Simulated {
 public:
  Simulated(const Truth& truth, std::uint64_t seed)
      : truth_(truth), seed_(seed), state_(plan_of(truth)) {
    rolled_.decision = {start_position(), make_roll(3, 1), money_score()};
  }

  [[nodiscard]] const After& after(std::size_t rounds) {
    while (after_.size() <= rounds) {
      if (!after_.empty()) play();
      after_.push_back(look());
    }
    return after_[rounds];
  }

 private:
  void play() {
    if (state_.is_finished()) state_.go_beyond();
    const std::uint64_t round = state_.rounds();
    while (!state_.is_finished() && state_.rounds() == round) {
      for (const BlockRange& range : state_.next()) {
        for (std::uint64_t i = 0; i < range.count; ++i) {
          state_.absorb(block_of(range.start, range.first + i));
        }
      }
    }
    rolled_.result = state_.result();
  }

  [[nodiscard]] After look() const {
    After after;
    Standing& at = after.standing;
    at = standing_of(state_);
    at.seconds = static_cast<double>(at.trials) * truth_.seconds;
    if (at.rounds == 0) return after;
    at.closest = closest_of(rolled_);
    const double best = truth_of(0);
    const double cost = truth_of(*runner_up(rolled_)) - best;
    after.is_right = best == 0.0;
    after.holds = std::abs(at.closest->cost.mean - cost) <= at.closest->cost.half_width;
    return after;
  }

  /// What the play of a rank costs in truth.
  [[nodiscard]] double truth_of(std::size_t rank) const {
    const auto& starts = state_.plan().starts;
    const auto found = std::find_if(starts.begin(), starts.end(), [&](const auto& start) {
      return start.play == rolled_.result.plays[rank].play;
    });
    return truth_.costs[static_cast<std::size_t>(found - starts.begin())];
  }

  static RolloutPlan plan_of(const Truth& truth) {
    PlayList plays;
    generate_plays(start_position(), make_roll(3, 1), plays);
    RolloutPlan plan;
    for (std::size_t i = 0; i < truth.costs.size(); ++i) {
      plan.starts.push_back({plays[i], {position_after(start_position(), plays[i])}});
    }
    plan.worth = kMoneyWorth;
    plan.settings.trials = 144;
    plan.settings.half_width = kWanted;
    return plan;
  }

  /// Blocks of all plays share half of their noise.
  [[nodiscard]] PlayedBlock block_of(std::size_t start, std::uint64_t block) const {
    RandomStream common(seed_, 2 * block);
    RandomStream own(seed_ + 1 + start, 2 * block + 1);
    const double noise = truth_.spread * std::sqrt(0.5 / static_cast<double>(kBlockTrials));
    const double equity = -truth_.costs[start] + noise * (normal(common) + normal(own));
    PlayedBlock played{start, block, {}};
    played.means.outcomes[static_cast<std::size_t>(Outcome::kWinSingle)] = 0.5 + 0.5 * equity;
    played.means.outcomes[static_cast<std::size_t>(Outcome::kLoseSingle)] = 0.5 - 0.5 * equity;
    played.worths.fill(equity);
    return played;
  }

  Truth truth_;
  std::uint64_t seed_;
  RolloutState state_;
  RolledDecision rolled_;
  std::vector<After> after_;
};

/// What is known at a moment of the night.
struct Dawn {
  double settled = 0.0;
  double wrong = 0.0;
  double known = 0.0;
  double held = 0.0;

  void operator+=(const Dawn& other) {
    settled += other.settled;
    wrong += other.wrong;
    known += other.known;
    held += other.held;
  }
};

using Choose = std::function<std::optional<std::size_t>(const std::vector<PartAt>&)>;

/// Until nothing is left or time is up. `seconds` becomes the time that it took.
Dawn night(std::vector<Simulated>& decisions, const Choose& choose, double time, double* seconds) {
  std::vector<PartAt> parts;
  std::vector<std::size_t> rounds(decisions.size(), 0);
  for (std::size_t i = 0; i < decisions.size(); ++i) {
    parts.push_back({static_cast<std::int64_t>(i), 0, Part::Kind::kRoll, "", 0, {}});
  }
  double spent = 0.0;
  while (spent < time) {
    const std::optional<std::size_t> next = choose(parts);
    if (!next) break;
    Standing& standing = parts[*next].standing;
    spent -= standing.seconds;
    standing = decisions[*next].after(++rounds[*next]).standing;
    spent += standing.seconds;
  }
  if (seconds != nullptr) *seconds = spent;
  Dawn dawn;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const auto& closest = parts[i].standing.closest;
    if (!closest) continue;
    const After& after = decisions[i].after(rounds[i]);
    dawn.known += 1.0;
    if (after.holds) dawn.held += 1.0;
    if (closest->is_open) continue;
    dawn.settled += 1.0;
    if (!after.is_right) dawn.wrong += 1.0;
  }
  return dawn;
}

std::optional<std::size_t> one_by_one(const std::vector<PartAt>& parts) {
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (!parts[i].standing.is_done) return i;
  }
  return std::nullopt;
}

}  // namespace

int main(int argc, char** argv) {
  const int nights = argc > 1 ? std::atoi(argv[1]) : 5;
  const std::uint64_t seed = argc > 2 ? static_cast<std::uint64_t>(std::atoll(argv[2])) : 1;
  constexpr std::array kShares{0.125, 0.25, 0.5, 1.0, 2.0};
  std::array<Dawn, kShares.size()> ours;
  std::array<Dawn, kShares.size()> theirs;
  double hours = 0.0;
  for (int n = 0; n < nights; ++n) {
    RandomStream stream(seed, static_cast<std::uint64_t>(n));
    std::vector<Simulated> decisions;
    for (std::size_t i = 0; i < kDecisions; ++i) {
      const Truth truth = drawn_truth(stream);
      decisions.emplace_back(truth, seed + 1'000'003 * static_cast<std::uint64_t>(n + 1) + 100 * i);
    }
    double all = 0.0;
    static_cast<void>(night(decisions, one_by_one, 1e9, &all));
    hours += all / 3600.0;
    for (std::size_t s = 0; s < kShares.size(); ++s) {
      const double time = all * kShares[s];
      ours[s] += night(
          decisions, [](const std::vector<PartAt>& parts) { return next_up(parts, true); }, time,
          nullptr);
      theirs[s] += night(decisions, one_by_one, time, nullptr);
    }
  }
  std::printf("%zu decisions, %d nights; to +-%.2f all take %.2f h of one thread on average\n",
              kDecisions, nights, kWanted, hours / nights);
  std::printf("%6s %40s %40s %7s\n", "time", "where the doubt is: settled, wrong, held",
              "one after another: settled, wrong, held", "ratio");
  for (std::size_t s = 0; s < kShares.size(); ++s) {
    std::printf("%6.3f", kShares[s]);
    for (const Dawn& dawn : {ours[s], theirs[s]}) {
      std::printf("%22.1f %8.1f%% %7.1f%%", dawn.settled / nights,
                  100.0 * dawn.wrong / dawn.settled, 100.0 * dawn.held / dawn.known);
    }
    std::printf("%8.2f\n", ours[s].settled / theirs[s].settled);
  }
}
