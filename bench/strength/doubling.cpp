#include "bench/strength/doubling.h"

#include <array>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "base/input_error.h"
#include "bench/strength/mean.h"
#include "bench/strength/sampling.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kSeed = 20'261'128;
constexpr std::uint64_t kGames = 4'000;
constexpr std::size_t kOfEachKind = 50;
constexpr double kLeastEquity = 0.15;
constexpr double kMostEquity = 0.95;
constexpr std::array<const char*, 6> kScores{"money",         "3-away/5-away", "money",
                                             "2-away/4-away", "7-away/7-away", "5-away/3-away"};
constexpr std::uint64_t kFloor = 144;
constexpr std::uint64_t kMost = 57'600;

struct JudgedEquity {
  double mean = 0.0;
  double error = 0.0;  // standard error
};
struct JudgedDouble {
  JudgedEquity no_double;
  JudgedEquity double_take;
};

// By number; none when there is no file.
std::map<std::size_t, JudgedDouble> read_judged(const std::filesystem::path& path,
                                                const std::vector<SampledDouble>& sample) {
  std::map<std::size_t, JudgedDouble> judged;
  for_each_whole_line(path, [&](const std::string& line) {
    const auto json = nlohmann::json::parse(line);
    const std::size_t number = json.at("number");
    if (json.at("position") != position_text(sample.at(number).position)) {
      throw InputError("judges another position",
                       path.string() + ", number " + std::to_string(number),
                       position_text(sample[number].position));
    }
    const auto equity = [&](const char* name) {
      const nlohmann::json& one = json.at(name);
      return JudgedEquity{one.at("mean"), one.at("error")};
    };
    judged[number] = {equity("no_double"), equity("double_take")};
  });
  return judged;
}

Score score_of(const SampledDouble& sampled) {
  return parse_score(sampled.score, own_match_equities());
}

// What static values get wrong, and what that costs.
struct Errors {
  Mean no_double;    // squares
  Mean double_take;  // squares
  Mean wait_noise;   // of the judge's waiting equities: squares
  Mean take_noise;   // of its equities after takes: squares
  Mean doubling;     // cost of the roller's action
  Mean taking;       // cost of the opponent's, once doubled

  void add(const JudgedDouble& judged, const CubeDecision& found) {
    const auto square = [](double error) { return error * error; };
    no_double.add(square(found.no_double - judged.no_double.mean));
    double_take.add(square(*found.double_take - judged.double_take.mean));
    wait_noise.add(square(judged.no_double.error));
    take_noise.add(square(judged.double_take.error));
    CubeDecision truth;
    truth.no_double = judged.no_double.mean;
    truth.double_take = judged.double_take.mean;
    truth.double_pass = 1.0;
    decide(truth);
    const CubeCosts costs = costs_of(truth);
    const bool doubles =
        found.action == CubeAction::kDoubleTake || found.action == CubeAction::kDoublePass;
    doubling.add(doubles ? costs.doubling : costs.no_double);
    taking.add(*found.double_take > 1.0 ? costs.pass : costs.take);
  }
};

void print_errors(const std::string& name, const Errors& errors) {
  const auto rms = [](const Mean& squares, const Mean& noise) {
    return std::sqrt(std::max(0.0, squares.mean() - noise.mean()));
  };
  const auto cost = [](const Mean& costs) {
    return kTwoSided95 * std::sqrt(costs.variance_of_mean());
  };
  std::printf("%-14s %4.0f   %.4f   %.4f   %.4f ± %.4f   %.4f ± %.4f\n", name.c_str(),
              errors.no_double.count(), rms(errors.no_double, errors.wait_noise),
              rms(errors.double_take, errors.take_noise), errors.doubling.mean(),
              cost(errors.doubling), errors.taking.mean(), cost(errors.taking));
}

// The two sides of a game, by who plays them.
struct Duelists {
  const Evaluator& player;
  const Evaluator& other;
  [[nodiscard]] const Evaluator& of(CubeSide side) const {
    return side == CubeSide::kPlayer ? player : other;
  }
};

// Points that kPlayer, who begins, wins.
int play_with_cube(const Duelists& duelists, const CubeRules& rules, RandomStream dice,
                   ChoiceScratch& scratch) {
  Position position = start_position();
  CubeState state = rules.start();
  for (CubeSide side = CubeSide::kPlayer;; side = opposite(side)) {
    const auto points = [&](std::size_t end) {
      const int won = rules.points(state.turns, end);
      return side == CubeSide::kPlayer ? won : -won;
    };
    if (const auto result = game_result(position)) {
      return points(static_cast<std::size_t>(*result));
    }
    const auto decision = [&](CubeSide who) {
      const Outlook outlook = duelists.of(who).evaluate_with_cube(position);
      return rules.decide(position, outlook.outcomes, outlook.lives, state, side);
    };
    const CubeAction action = decision(side).action;
    if (action == CubeAction::kDoubleTake || action == CubeAction::kDoublePass) {
      const CubeDecision answer = decision(opposite(side));
      if (*answer.double_take > *answer.double_pass) return points(kPassWon);
      state = CubeRules::turned(state, side, false);
    }
    const PlayWorth worth(rules, state, side);
    position = position_after(
        position, best_play(duelists.of(side), position, dice.roll(), worth, scratch).play);
  }
}

}  // namespace

void print_cube_duel(const Core& core, std::uint64_t pairs) {
  if (!core.evaluator().knows_lives()) {
    throw InputError("has no heads for the cube", core.provenance().net, "a net with them");
  }
  const Evaluator& learnt = core.evaluator();
  const NetworkEvaluator by_means(core.file().networks, core.level(), core.tables());
  const CubeRules rules(money_score(), {}, {}, core.tables().two_sided);
  std::vector<double> points(pairs);
  Workers workers(core.threads());
  constexpr std::uint64_t kPairsATask = 16;
  workers.for_each((pairs + kPairsATask - 1) / kPairsATask, [&](std::size_t task) {
    ChoiceScratch scratch;
    const std::uint64_t last = std::min(pairs, (task + 1) * kPairsATask);
    for (std::uint64_t pair = task * kPairsATask; pair < last; ++pair) {
      const RandomStream dice(kSeed + 1, pair);
      points[pair] = (play_with_cube({learnt, by_means}, rules, dice, scratch) -
                      play_with_cube({by_means, learnt}, rules, dice, scratch)) /
                     2.0;
    }
  });
  Mean mean;
  for (const double one : points) mean.add(one);
  std::printf(
      "%llu pairs of money games with the cube: learnt lives win %+.4f ± %.4f points a game\n",
      static_cast<unsigned long long>(pairs), mean.mean(),
      kTwoSided95 * std::sqrt(mean.variance_of_mean()));
}

std::vector<SampledDouble> sample_doubles(const Evaluator& evaluator) {
  std::array<Reservoir<Position>, kKindCount> kinds;
  RandomStream random(kSeed, kGames);
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < kGames; ++game) {
    RandomStream dice(kSeed, game);
    Position position = start_position();
    for (int plies = 0; !game_over(position); ++plies) {
      const double equity = worth_of(evaluator.evaluate(position), kMoneyWorth);
      if (equity >= kLeastEquity && equity <= kMostEquity && !evaluator.known(position)) {
        const auto k = static_cast<std::size_t>(kind_of(position, plies));
        kinds[k].show(position, kOfEachKind, random);
      }
      position = position_after(
          position, best_play(evaluator, position, dice.roll(), kMoneyWorth, scratch).play);
    }
  }
  std::vector<SampledDouble> sample;
  for (std::size_t i = 0; i < kOfEachKind; ++i) {
    for (std::size_t k = 0; k < kKindCount; ++k) {
      const std::vector<Position>& kept = kinds[k].kept;
      if (static_cast<Kind>(k) == Kind::kOpening || i >= kept.size()) continue;
      SampledDouble one{static_cast<Kind>(k), kept[i], kScores[(i + k) % kScores.size()], {}};
      if (one.score == "money" && i % 2 == 1) one.cube = {2, CubeOwner::kRoller};
      sample.push_back(one);
    }
  }
  return sample;
}

void write_doubles(const std::filesystem::path& path, const std::vector<SampledDouble>& sample) {
  std::ofstream file(path);
  for (const SampledDouble& one : sample) {
    file << kKindNames[static_cast<std::size_t>(one.kind)] << '\t' << position_text(one.position)
         << '\t' << one.score << '\t' << cube_text(one.cube) << '\n';
  }
  if (!file.flush()) throw InputError("cannot be written", path.string(), "a place to write to");
}

std::vector<SampledDouble> read_doubles(const std::filesystem::path& path) {
  std::ifstream file(path);
  if (!file) throw InputError("cannot be read", path.string(), "a list of doubling decisions");
  std::vector<SampledDouble> sample;
  std::string line;
  while (std::getline(file, line)) {
    std::istringstream fields(line);
    std::array<std::string, 4> texts;
    for (std::string& text : texts) std::getline(fields, text, '\t');
    sample.push_back({kind_named(texts[0], path.string()), parse_position(texts[1]), texts[2],
                      parse_cube(texts[3])});
  }
  return sample;
}

void judge_doubles(Core& core, const std::vector<SampledDouble>& sample,
                   const std::filesystem::path& judgements, double half_width) {
  const std::map<std::size_t, JudgedDouble> done = read_judged(judgements, sample);
  std::ofstream out(judgements, std::ios::app);
  for (std::size_t number = 0; number < sample.size(); ++number) {
    if (done.contains(number)) continue;
    const SampledDouble& one = sample[number];
    RolloutSettings settings;
    settings.trials = kFloor;
    settings.half_width = half_width;
    settings.most_trials = kMost;
    settings.seed = number + 1;
    settings.luck = core.luck_control("auto");
    ThreadRunner runner(core.threads());
    const CubeRules rules(score_of(one), one.cube, {}, core.tables().two_sided);
    const auto rolled =
        roll_out_double({core.evaluator(), core.luck()}, one.position, rules, settings, runner);
    nlohmann::ordered_json json{{"number", number}, {"position", position_text(one.position)}};
    const auto add = [&](const char* name, const RolledPlay& play) {
      const auto rounded = [](double value) { return std::round(value * 1e5) / 1e5; };
      json[name] = {{"mean", rounded(play.equity.mean)},
                    {"error", rounded(play.equity.standard_error)},
                    {"trials", play.trials}};
    };
    add("no_double", rolled->no_double);
    add("double_take", rolled->double_take.value());
    out << json.dump() << std::endl;
    if (!out) throw InputError("cannot be written", judgements.string(), "a place to write to");
  }
}

void print_doubles(const Core& core, const std::vector<SampledDouble>& sample,
                   const std::filesystem::path& judgements) {
  const std::map<std::size_t, JudgedDouble> judged = read_judged(judgements, sample);
  std::printf(
      "\nDoubling decisions, %zu of %zu judged: static equity, rms less the judge's errors, of\n"
      "waiting and of a double that is taken; mean cost of static actions (± 95%%)\n",
      judged.size(), sample.size());
  for (const bool by_means : {true, false}) {
    if (!by_means && !core.evaluator().knows_lives()) continue;
    std::map<std::string, Errors> by_kind;
    std::map<std::string, Errors> by_score;
    Errors all;
    for (const auto& [number, judgement] : judged) {
      const SampledDouble& one = sample[number];
      const Evaluator& evaluator = core.evaluator();
      const Outlook outlook = by_means ? evaluator.Evaluator::evaluate_with_cube(one.position)
                                       : evaluator.evaluate_with_cube(one.position);
      const CubeDecision found =
          cube_decision(outlook.outcomes, score_of(one), one.cube, outlook.lives);
      all.add(judgement, found);
      by_kind[std::string(kKindNames[static_cast<std::size_t>(one.kind)])].add(judgement, found);
      by_score[one.score].add(judgement, found);
    }
    std::printf("%-14s        wait      take     doubling          taking\n",
                by_means ? "mean lives" : "learnt lives");
    for (const auto& [kind, errors] : by_kind) print_errors(kind, errors);
    for (const auto& [score, errors] : by_score) print_errors(score, errors);
    print_errors("all", all);
  }
}

}  // namespace sixfold
