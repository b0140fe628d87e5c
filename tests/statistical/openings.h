/// Published rollouts of opening plays: golden/openings.csv, cubeless money equities from Keith T.,
/// Rollouts of the opening plays, 2006, as listed by Murphy D., 2007, and Bower C., Flint Area
/// BackgammoNews, December 1997. The two differ by up to .02 themselves.
#pragma once

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "rollout/choice.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {

struct PublishedPlay {
  int rank;
  std::string play;
  double equity;
  std::string source;
};

/// The published plays by roll, from golden/openings.csv; empty when it cannot be read.
inline std::map<std::string, std::vector<PublishedPlay>> published_openings(
    const std::filesystem::path& path) {
  std::ifstream file(path);
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
inline std::vector<PlayKey> candidates(const Evaluator& evaluator, Roll roll,
                                       const std::vector<PublishedPlay>& published) {
  const Position start = start_position();
  PlayList plays;
  generate_plays(start, roll, plays);
  std::vector<OutcomeDistribution> outcomes(plays.size());
  evaluator.evaluate_children(start, plays.span(), outcomes);
  std::vector<std::size_t> order(plays.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return worth_of(outcomes[a], kMoneyWorth) > worth_of(outcomes[b], kMoneyWorth);
  });
  std::vector<PlayKey> chosen;
  const auto add = [&](PlayKey play) {
    if (std::find(chosen.begin(), chosen.end(), play) == chosen.end()) chosen.push_back(play);
  };
  for (const PublishedPlay& play : published) add(parse_play(start, roll, play.play));
  for (std::size_t i = 0; i < std::min<std::size_t>(4, order.size()); ++i) add(plays[order[i]]);
  return chosen;
}

}  // namespace sixfold
