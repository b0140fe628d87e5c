// The decisions of the yardstick, and what judges say of their plays.
#pragma once

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "bench/strength/kinds.h"
#include "evaluator/evaluator.h"
#include "rollout/rollout.h"

namespace sixfold {

struct SampledDecision {
  Kind kind;
  Position position;
  Roll roll;
};

// A fixed list of decisions, and how often their kinds come up in play.
struct DecisionSample {
  std::array<double, kKindCount> share{};  // of all decisions of the games
  std::vector<SampledDecision> decisions;  // in random order
};

// From games of an evaluator against itself: for each kind a uniform sample of its decisions, those
// without a choice included. The same for the same evaluator.
DecisionSample sample_decisions(const Evaluator& evaluator);

void write_sample(const std::filesystem::path& path, const DecisionSample& sample);
// Throws InputError for a file that is not one.
DecisionSample read_sample(const std::filesystem::path& path);

struct JudgedPlay {
  PlayKey play;
  OutcomeDistribution outcomes;  // from the viewpoint of the player who makes the play
  double cost = 0.0;
  double cost_error = 0.0;    // standard error
  double equity_error = 0.0;  // standard error
};

// All legal plays of a decision, rolled out.
struct JudgedDecision {
  std::size_t number = 0;         // its place in the sample
  std::vector<JudgedPlay> plays;  // best first

  [[nodiscard]] const JudgedPlay* judgement_of(PlayKey play) const noexcept {
    const auto found = std::find_if(plays.begin(), plays.end(),
                                    [&](const JudgedPlay& each) { return each.play == play; });
    return found == plays.end() ? nullptr : &*found;
  }
};

// A line of JSON, and back. `decision` is what the line is about.
std::string judgement_line(const SampledDecision& decision, std::size_t number,
                           const RolloutResult& result);
JudgedDecision read_judgement(const std::string& line, const DecisionSample& sample);
// All whole lines of a file, none when there is no file; of a decision the last. A last line
// without an end is cut off, so that an interrupted run can go on.
std::vector<JudgedDecision> read_judgements(const std::filesystem::path& path,
                                            const DecisionSample& sample);

}  // namespace sixfold
