#include "bench/strength/decisions.h"

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "base/input_error.h"
#include "bench/strength/sampling.h"
#include "rollout/choice.h"
#include "rollout/random_stream.h"
#include "rules/game_result.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

constexpr std::uint64_t kSeed = 20'261'126;
constexpr std::uint64_t kGames = 4'000;
/// Of each kind, in its order.
constexpr std::array<std::size_t, kKindCount> kWanted{100, 250, 150, 150, 100, 100, 150};

}  // namespace

DecisionSample sample_decisions(const Evaluator& evaluator) {
  std::array<Reservoir<SampledDecision>, kKindCount> kinds;
  RandomStream random(kSeed, kGames);
  ChoiceScratch scratch;
  for (std::uint64_t game = 0; game < kGames; ++game) {
    RandomStream dice(kSeed, game);
    Position position = start_position();
    for (int plies = 0; !game_over(position); ++plies) {
      const Roll roll = dice.roll();
      const Kind kind = kind_of(position, plies);
      const auto k = static_cast<std::size_t>(kind);
      kinds[k].show({kind, position, roll}, kWanted[k], random);
      position =
          position_after(position, best_play(evaluator, position, roll, kMoneyWorth, scratch).play);
    }
  }
  DecisionSample sample;
  double total = 0.0;
  for (const auto& kind : kinds) total += kind.seen;
  for (std::size_t k = 0; k < kKindCount; ++k) {
    const auto& [kept, seen] = kinds[k];
    sample.share[k] = seen / total;
    sample.decisions.insert(sample.decisions.end(), kept.begin(), kept.end());
  }
  for (std::size_t i = sample.decisions.size() - 1; i > 0; --i) {
    std::swap(sample.decisions[i],
              sample.decisions[random.below(static_cast<std::uint32_t>(i + 1))]);
  }
  return sample;
}

void write_sample(const std::filesystem::path& path, const DecisionSample& sample) {
  std::ofstream file(path);
  for (std::size_t k = 0; k < kKindCount; ++k) {
    file << "share\t" << kKindNames[k] << '\t' << sample.share[k] << '\n';
  }
  for (const SampledDecision& decision : sample.decisions) {
    file << kKindNames[static_cast<std::size_t>(decision.kind)] << '\t'
         << position_text(decision.position) << '\t' << roll_text(decision.roll) << '\n';
  }
  if (!file.flush()) throw InputError("cannot be written", path.string(), "a place to write to");
}

DecisionSample read_sample(const std::filesystem::path& path) {
  std::ifstream file(path);
  if (!file) throw InputError("cannot be read", path.string(), "a list of decisions");
  DecisionSample sample;
  std::string line;
  while (std::getline(file, line)) {
    std::istringstream fields(line);
    std::string kind;
    std::string middle;
    std::string last;
    std::getline(fields, kind, '\t');
    std::getline(fields, middle, '\t');
    std::getline(fields, last);
    if (kind == "share") {
      sample.share[static_cast<std::size_t>(kind_named(middle, path.string()))] = std::stod(last);
    } else {
      sample.decisions.push_back(
          {kind_named(kind, path.string()), parse_position(middle), parse_roll(last)});
    }
  }
  return sample;
}

std::string judgement_line(const SampledDecision& decision, std::size_t number,
                           const RolloutResult& result) {
  nlohmann::ordered_json json;
  json["number"] = number;
  json["position"] = position_text(decision.position);
  json["dice"] = roll_text(decision.roll);
  for (const RolledPlay& rolled : result.plays) {
    nlohmann::ordered_json play;
    play["play"] = play_text(decision.position, decision.roll, rolled.play);
    play["trials"] = rolled.trials;
    const auto rounded = [](double value) { return std::round(value * 1e5) / 1e5; };
    for (const Estimate& outcome : rolled.outcomes) {
      play["outcomes"].push_back(rounded(outcome.mean));
    }
    play["equity_error"] = rounded(rolled.equity.standard_error);
    play["cost"] = rounded(rolled.cost.mean);
    play["cost_error"] = rounded(rolled.cost.standard_error);
    json["plays"].push_back(play);
  }
  return json.dump();
}

JudgedDecision read_judgement(const std::string& line, const DecisionSample& sample) {
  const auto json = nlohmann::json::parse(line);
  JudgedDecision judged;
  judged.number = json.at("number");
  const SampledDecision& decision = sample.decisions.at(judged.number);
  if (json.at("position") != position_text(decision.position)) {
    throw InputError("judges another position", "decision " + std::to_string(judged.number),
                     position_text(decision.position));
  }
  for (const auto& play : json.at("plays")) {
    JudgedPlay each{
        parse_play(decision.position, decision.roll, play.at("play").get<std::string>()),
        {},
        play.at("cost"),
        play.at("cost_error"),
        play.at("equity_error")};
    for (std::size_t o = 0; o < kOutcomeCount; ++o) each.outcomes[o] = play.at("outcomes").at(o);
    judged.plays.push_back(each);
  }
  return judged;
}

std::vector<JudgedDecision> read_judgements(const std::filesystem::path& path,
                                            const DecisionSample& sample) {
  std::vector<JudgedDecision> judgements;
  for_each_whole_line(path, [&](const std::string& line) {
    JudgedDecision judged = read_judgement(line, sample);
    std::erase_if(judgements, [&](const auto& earlier) { return earlier.number == judged.number; });
    judgements.push_back(std::move(judged));
  });
  return judgements;
}

}  // namespace sixfold
