// The doubling decisions of the yardstick, and what rollouts with the cube say of them.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "bench/strength/kinds.h"
#include "equity/cube.h"
#include "evaluator/evaluator.h"
#include "rollout/rollout.h"
#include "session/core.h"

namespace sixfold {

struct SampledDouble {
  Kind kind;
  Position position;
  std::string score;
  Cube cube;
};

// From games of an evaluator against itself, without the cube: of each kind but openings as many,
// with a cubeless equity from .15 to .95 for the side on roll, where the question may be open. A
// third of them are about money, a sixth about each of four match scores; at money every second
// cube is the roller's own.
std::vector<SampledDouble> sample_doubles(const Evaluator& evaluator);

void write_doubles(const std::filesystem::path& path, const std::vector<SampledDouble>& sample);
// Throws InputError for a file that is not one.
std::vector<SampledDouble> read_doubles(const std::filesystem::path& path);

// Rolls out what has not been judged yet to `half_width` of the difference between doubling and
// waiting, line by line, so that it can be interrupted.
void judge_doubles(Core& core, const std::vector<SampledDouble>& sample,
                   const std::filesystem::path& judgements, double half_width);

// How static values and actions compare with the judgements, with the net's heads for the cube and
// with the mean lives that stand in without them.
void print_doubles(const Core& core, const std::vector<SampledDouble>& sample,
                   const std::filesystem::path& judgements);

// Games for money with the cube on common dice, seats swapped: a net's doubles, answers and plays
// by its heads against those by mean lives. Throws InputError for a net without heads.
void print_cube_duel(const Core& core, std::uint64_t pairs);

}  // namespace sixfold
