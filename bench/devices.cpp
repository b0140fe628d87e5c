// What each device of a rollout is worth: for positions of games that nothing was trained or tuned
// on, the variance of a trial and the processor time that it takes, against plain trials in the
// same process. Prints medians over the positions of
//
//   variance factor   a plain trial's variance over this one's
//   cost              this trial's time over a plain one's
//   efficiency        the first over the second
//
// Run as: sixfold_devices NET [POSITIONS] [BLOCKS]
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <optional>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "bench/median.h"
#include "evaluator/network_file.h"
#include "exact/exact_tables.h"
#include "rollout/dice_plan.h"
#include "rollout/luck.h"
#include "rollout/random_stream.h"
#include "rollout/trial.h"
#include "rules/start.h"
#include "session/core.h"

namespace {

using namespace sixfold;

constexpr std::uint64_t kGamesSeed = 20261125;
constexpr std::uint64_t kDiceSeed = 977;

/// Contact positions, one a game, at plies spread over the first forty.
std::vector<Position> contact_positions(const Evaluator& evaluator, std::size_t count) {
  ChoiceScratch scratch;
  std::vector<Position> positions;
  for (std::uint64_t game = 0; positions.size() < count; ++game) {
    RandomStream dice(kGamesSeed, game);
    Position position = start_position();
    const std::uint64_t wanted = 1 + game * 7 % 40;
    for (std::uint64_t ply = 0; ply < wanted && !game_over(position); ++ply) {
      const Choice choice = best_play(evaluator, position, dice.roll(), kMoneyWorth, scratch);
      position = position_after(position, choice.play);
    }
    if (!game_over(position) && !is_race(position)) positions.push_back(position);
  }
  return positions;
}

struct Device {
  std::string name;
  TrialRules rules;
  int share = 1;  ///< One block where others have so many, since it takes so much longer.
};

struct Measured {
  double variance = 0.0;  ///< Of a trial.
  double seconds = 0.0;   ///< A trial.
};

/// The equities of blocks, and how long they took. Blocks of all devices are played in turns.
class Series {
 public:
  void play(const TrialRules& rules, const Position& position, std::uint64_t block) {
    const auto start = std::chrono::steady_clock::now();
    const double equity =
        rules.cube == nullptr
            ? worth_of(play_block(rules, position, block, scratch_).outcomes, rules.worth)
            : with_cube(rules, position, block);
    seconds_.push_back(
        std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    values_.push_back(equity);
  }
  [[nodiscard]] const std::vector<double>& values() const { return values_; }
  [[nodiscard]] Measured measured() const {
    double time = 0.0;
    for (const double seconds : seconds_) time += seconds;
    return {variance_of(values_) * kBlockTrials,
            time / static_cast<double>(seconds_.size() * kBlockTrials)};
  }
  static double variance_of(const std::vector<double>& values) {
    double mean = 0.0;
    for (const double value : values) mean += value / static_cast<double>(values.size());
    double squares = 0.0;
    for (const double value : values) squares += (value - mean) * (value - mean);
    return squares / static_cast<double>(values.size() - 1);
  }

 private:
  double with_cube(const TrialRules& rules, const Position& position, std::uint64_t block) {
    double sum = 0.0;
    for (std::uint64_t i = 0; i < kBlockTrials; ++i) {
      CubeMeans means;
      static_cast<void>(play_trial(rules, {position}, block * kBlockTrials + i, scratch_, &means));
      sum += worth_of(means.outcomes, rules.cube->worth());
    }
    return sum / kBlockTrials;
  }

  ChoiceScratch scratch_;
  std::vector<double> values_;
  std::vector<double> seconds_;
};

std::vector<Measured> measure(const std::vector<Device>& devices, const Position& position,
                              std::uint64_t blocks) {
  std::vector<Series> series(devices.size());
  for (std::uint64_t block = 0; block < blocks; ++block) {
    for (std::size_t d = 0; d < devices.size(); ++d) {
      const auto share = static_cast<std::uint64_t>(devices[d].share);
      if (block % share == 0) series[d].play(devices[d].rules, position, block);
    }
  }
  std::vector<Measured> measured;
  for (const Series& one : series) measured.push_back(one.measured());
  return measured;
}

/// The table of devices against the first one.
void print_devices(const char* title, const std::vector<Device>& devices,
                   const std::vector<Position>& positions, std::uint64_t blocks) {
  std::vector<std::vector<double>> factors(devices.size());
  std::vector<std::vector<double>> costs(devices.size());
  std::vector<std::vector<double>> efficiencies(devices.size());
  for (const Position& position : positions) {
    const std::vector<Measured> measured = measure(devices, position, blocks);
    for (std::size_t d = 0; d < devices.size(); ++d) {
      const double factor = measured[0].variance / measured[d].variance;
      const double cost = measured[d].seconds / measured[0].seconds;
      factors[d].push_back(factor);
      costs[d].push_back(cost);
      efficiencies[d].push_back(factor / cost);
    }
  }
  std::printf("\n%s\n%-44s %8s %8s %10s\n", title, "", "variance", "", "");
  std::printf("%-44s %8s %8s %10s\n", "device", "factor", "cost", "efficiency");
  for (std::size_t d = 0; d < devices.size(); ++d) {
    std::printf("%-44s %8.2f %8.2f %10.2f\n", devices[d].name.c_str(), median(factors[d]),
                median(costs[d]), median(efficiencies[d]));
    std::fflush(stdout);
  }
}

/// How much less a difference of two plays varies on common dice than on separate ones: the two
/// statically best plays of random rolls.
void print_common_dice(const Evaluator& evaluator, const TrialRules& rules,
                       const std::vector<Position>& positions, std::uint64_t blocks) {
  std::vector<double> factors;
  RandomStream dice(kGamesSeed, 0);
  for (const Position& position : positions) {
    PlayList plays;
    generate_plays(position, dice.roll(), plays);
    if (plays.size() < 2) continue;
    std::vector<OutcomeDistribution> outcomes(plays.size());
    evaluator.evaluate_children(position, plays.span(), outcomes);
    std::vector<std::size_t> order(plays.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::partial_sort(
        order.begin(), order.begin() + 2, order.end(), [&](std::size_t a, std::size_t b) {
          return worth_of(outcomes[a], rules.worth) > worth_of(outcomes[b], rules.worth);
        });
    std::vector<Series> series(2);
    for (std::uint64_t block = 0; block < blocks; ++block) {
      for (std::size_t i = 0; i < 2; ++i) {
        series[i].play(rules, position_after(position, plays[order[i]]), block);
      }
    }
    std::vector<double> differences;
    for (std::size_t i = 0; i < series[0].values().size(); ++i) {
      differences.push_back(series[0].values()[i] - series[1].values()[i]);
    }
    const double apart =
        Series::variance_of(series[0].values()) + Series::variance_of(series[1].values());
    const double common = Series::variance_of(differences);
    if (common > 0.0) factors.push_back(apart / common);
  }
  std::printf(
      "\ncommon dice: the difference of the two best plays varies %.2f times less"
      " (median of %zu)\n",
      median(factors), factors.size());
}

TrialRules with(TrialRules rules, const LuckSource* luck, bool stratified, bool ends) {
  rules.luck = luck;
  rules.stratified = stratified;
  rules.known_ends = ends;
  return rules;
}

/// The last but one is the default method's, if there are luck networks.
std::vector<Device> devices_of(const TrialRules& plain, const FullControl& full,
                               const LuckSource* net) {
  std::vector<Device> devices{{"plain", plain},
                              {"first rolls stratified", with(plain, nullptr, true, false)},
                              {"ends where tables know", with(plain, nullptr, false, true)}};
  if (net != nullptr) {
    devices.push_back({"luck networks", with(plain, net, false, false)});
    devices.push_back({"luck networks, stratified", with(plain, net, true, false)});
    devices.push_back({"luck networks, ends", with(plain, net, false, true)});
    devices.push_back({"luck networks, stratified, ends (default)", with(plain, net, true, true)});
  }
  TrialRules choosing = with(plain, &full, true, true);
  choosing.luck_chooses = true;
  devices.push_back({"full control, stratified, ends", choosing, 8});
  return devices;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fputs("usage: sixfold_devices NET [POSITIONS] [BLOCKS]\n", stderr);
    return 2;
  }
  const std::size_t count = argc > 2 ? static_cast<std::size_t>(std::atoi(argv[2])) : 32;
  const std::uint64_t blocks = argc > 3 ? static_cast<std::uint64_t>(std::atoi(argv[3])) : 400;
  try {
    Engine engine({.net = argv[1], .threads = 1});
    const Evaluator& evaluator = engine.core().evaluator();
    const EvaluatorPlayer greedy(evaluator);
    const EvaluatorPlayer looking(evaluator, 1);
    const FullControl full(evaluator);
    TrialRules plain;
    plain.player = &greedy;
    plain.evaluator = &evaluator;
    plain.worth = kMoneyWorth;
    plain.seed = kDiceSeed;
    plain.stratified = false;
    plain.known_ends = false;
    const std::vector<Device> devices = devices_of(plain, full, engine.core().luck());
    const std::vector<Position> positions = contact_positions(evaluator, count);
    std::printf("%zu positions, %llu blocks of %llu trials each\n", positions.size(),
                static_cast<unsigned long long>(blocks),
                static_cast<unsigned long long>(kBlockTrials));
    print_devices("plays without lookahead", devices, positions, blocks);
    print_common_dice(evaluator, devices[devices.size() - 2].rules, positions, blocks);
    if (engine.core().luck() != nullptr) {
      const CubeRules money(money_score(), {}, {}, engine.core().tables().two_sided);
      const TrialRules without = with(plain, engine.core().luck(), true, true);
      TrialRules cube = without;
      cube.cube = &money;
      cube.plays_by_evaluator = true;
      TrialRules cube_full = with(cube, &full, true, true);
      cube_full.luck_chooses = true;
      print_devices("with the cube in the middle, at money, against the default without",
                    {{"without the cube (default)", without},
                     {"with it, plain", with(cube, nullptr, false, false)},
                     {"with it, luck networks (default)", cube},
                     {"with it, full control", cube_full, 8}},
                    positions, blocks);
    }
    TrialRules looking_plain = plain;
    looking_plain.player = &looking;
    const std::vector<Position> few(
        positions.begin(),
        positions.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(24, count)));
    print_devices("plays with a roll of lookahead",
                  {{"plain", looking_plain},
                   {"luck of the replies seen", with(looking_plain, &full, true, true)}},
                  few, std::max<std::uint64_t>(2, blocks / 20));
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_devices: %s\n", error.what());
    return 1;
  }
}
