// Opening plays rolled out against two published rollouts: golden/openings.csv, cubeless money
// equities from Keith T., Rollouts of the opening plays, 2006, as listed by Murphy D., 2007, and
// Bower C., Flint Area BackgammoNews, December 1997. The two differ by up to .02 themselves.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

#include "evaluator/network_file.h"
#include "exact/workers.h"
#include "rollout/choice.h"
#include "rollout/rollout.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kTrials = 720;
constexpr double kCostMargin = 0.02;
constexpr double kEquityMargin = 0.03;

struct PublishedPlay {
  int rank;
  std::string play;
  double equity;
  std::string source;
};

/// The published plays by roll.
std::map<std::string, std::vector<PublishedPlay>> published_openings() {
  std::ifstream file(std::filesystem::path(SIXFOLD_GOLDEN) / "openings.csv");
  std::map<std::string, std::vector<PublishedPlay>> openings;
  std::string line;
  while (std::getline(file, line)) {
    if (line.empty() || line.front() == '#' || line.rfind("roll,", 0) == 0) continue;
    std::istringstream fields(line);
    std::string roll;
    std::string rank;
    std::string equity;
    PublishedPlay play;
    std::getline(fields, roll, ',');
    std::getline(fields, rank, ',');
    std::getline(fields, play.play, ',');
    std::getline(fields, equity, ',');
    std::getline(fields, play.source);
    play.rank = std::stoi(rank);
    play.equity = std::stod(equity);
    openings[roll].push_back(play);
  }
  return openings;
}

/// The published plays and the statically best four.
std::vector<PlayKey> candidates(const Evaluator& evaluator, Roll roll,
                                const std::vector<PublishedPlay>& published) {
  const Position start = start_position();
  const OutcomeWorth money = parse_score("money").worth;
  PlayList plays;
  generate_plays(start, roll, plays);
  std::vector<OutcomeDistribution> outcomes(plays.size());
  evaluator.evaluate_children(start, plays.span(), outcomes);
  std::vector<std::size_t> order(plays.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return worth_of(outcomes[a], money) > worth_of(outcomes[b], money);
  });
  std::vector<PlayKey> chosen;
  const auto add = [&](PlayKey play) {
    if (std::find(chosen.begin(), chosen.end(), play) == chosen.end()) chosen.push_back(play);
  };
  for (const PublishedPlay& play : published) add(parse_play(start, roll, play.play));
  for (std::size_t i = 0; i < std::min<std::size_t>(4, order.size()); ++i) add(plays[order[i]]);
  return chosen;
}

struct Comparison {
  double worst = 0.0;
  double squares = 0.0;
  int count = 0;
};

void compare(const Evaluator& evaluator, const std::string& dice,
             const std::vector<PublishedPlay>& published, Comparison& comparison) {
  const Roll roll = parse_roll(dice);
  RolloutSettings settings;
  settings.trials = kTrials;
  settings.threads = available_threads();
  const Position start = start_position();
  const RolloutResult result = roll_out(evaluator, start, candidates(evaluator, roll, published),
                                        parse_score("money"), settings);
  for (const PublishedPlay& listed : published) {
    const PlayKey play = parse_play(start, roll, listed.play);
    const auto rolled = std::find_if(result.plays.begin(), result.plays.end(),
                                     [&](const RolledPlay& r) { return r.play == play; });
    REQUIRE(rolled != result.plays.end());
    const double difference = rolled->equity.mean - listed.equity;
    INFO(dice << ": " << listed.play << ", " << listed.source << " " << listed.equity
              << ", rolled out " << rolled->equity.mean << " +- " << rolled->equity.half_width
              << ", cost " << rolled->cost.mean << ", best "
              << play_text(start, roll, result.plays.front().play));
    CHECK(std::abs(difference) <= kEquityMargin);
    if (listed.rank == 1) CHECK(rolled->cost.mean <= kCostMargin);
    comparison.worst = std::max(comparison.worst, std::abs(difference));
    comparison.squares += difference * difference;
    ++comparison.count;
  }
}

}  // namespace

TEST_CASE("The published opening plays have their published equities and ranks", "[slow]") {
  const NetworkEvaluator evaluator(
      load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors").networks);
  const auto openings = published_openings();
  REQUIRE(openings.size() == 15);
  Comparison comparison;
  for (const auto& [dice, published] : openings) compare(evaluator, dice, published, comparison);
  CHECK(comparison.count == 43);
  WARN("difference to the published equities: worst "
       << comparison.worst << ", rms " << std::sqrt(comparison.squares / comparison.count));
}

}  // namespace sixfold
