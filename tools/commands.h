/// The subcommands. Each takes its options, prints its results and returns an exit code; bad input
/// is thrown as InputError and reported by main.
#pragma once

#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <vector>

#include "rules/types.h"
#include "session/sixfold.h"
#include "study/review.h"

namespace sixfold::tools {

/// Options of the commands that look at positions; empty texts were not given.
struct PositionOptions {
  std::string position;
  std::string after;
  int checkers = kMaxCheckers;
  bool both_from_roller = false;  ///< The position's points are all numbered the roller's way.
  std::string dice;
  std::string plays;  ///< Of `rollout`: these alone; empty: every legal one.
  std::string scores = "money";
  bool takes_plays = false;   ///< Whether the command knows of plays that are named, and
  bool takes_trials = false;  ///< of trials.
  std::string cube;           ///< As Question has it.
  bool jacoby = false;
  bool beavers = false;
  std::string match_table;  ///< Match equities as a CSV file; empty: those of our own.
  std::string requests;     ///< A file, or "-" for standard input.
  std::string net;
  std::string opponent_net;  ///< Of rollouts: that of the opponent; empty: the same.
  std::string instruction_set;
  std::string cache;           ///< Directory of tables; empty: the user's usual place.
  int race_points = 6;         ///< How far from home the one-sided table reaches.
  bool facts = false;          ///< Of `evaluate`: the facts of position and plays too.
  bool distributions = false;  ///< Of `evaluate`: the six outcomes alone.
  bool ledger = false;         ///< Of `rollout`: in JSON too.
  std::string diagram;         ///< Of `evaluate` and `lesson`: a picture to write; empty: none.
  bool force = false;          ///< Files are written over.
  bool json = false;
  bool csv = false;
  bool quiet = false;
  /// Gets what the engine owns before the first question; may be empty. For programs that have
  /// trials played elsewhere.
  std::function<void(Core&)> prepare{};
};

struct RolloutOptions {
  PositionOptions decision;
  Rolling rolling;
  int threads = 0;  ///< 0: as many as the machine has.
};

struct LessonOptions {
  RolloutOptions rollout;
  std::string file;               ///< "-": standard input.
  std::string flips;              ///< Rolls, with commas between.
  std::set<std::string> typed;    ///< Options that were given, such as "--score".
  std::vector<std::string> outs;  ///< Sheets to write, by their endings.
  bool is_quiz = false;
  std::string command;  ///< As it was typed.
};

struct CubeOptions {
  RolloutOptions rollout;
  bool rolled = false;  ///< By trials, not by the model.
};

struct MatchOptions {
  PositionOptions common;        ///< Its position, roll and score do not count.
  std::string file;              ///< A recorded match; "-": standard input.
  std::string depth = "static";  ///< Or "lookahead" or "rollout".
  double bound = ReviewDepth().bound;
  int lessons = 0;  ///< Of so many of the dearest decisions lesson files are written.
  /// Sheets to write, by their endings, and, of another ending, the folder of the lesson files.
  std::vector<std::string> outs;
  std::string command;  ///< As it was typed.
  bool force = false;
  std::string queue;  ///< A night's queue for what stays undecided; empty: none.
  Rolling rolling{.half_width = 0.03};
  int threads = 0;
};

struct EquitiesOptions {
  std::string table;   ///< A CSV file; empty: the table of our own.
  std::string scores;  ///< Empty: the whole table.
  bool csv = false;
  bool json = false;
};

struct SolveOptions {
  int checkers = 3;
  std::string cache;
  int threads = 0;
  bool json = false;
  bool quiet = false;
};

struct TrainOptions {
  std::string recipe = "standard";
  std::string from;      ///< A file of positions at which games begin; empty: the usual start.
  std::string luck_for;  ///< A network file that gets luck networks; empty: a new evaluator.
  std::string cube_for;  ///< One that gets heads for the cube.
  std::string score = "money";
  std::string luck_by;  ///< A network file whose luck networks correct targets; empty: none.
  std::string start;    ///< A network file whose weights it starts from; empty: random ones.
  std::string out;
  std::uint64_t games = 0;  ///< 0: as many as the recipe says.
  int width = 0;            ///< Hidden units of the contact network; 0: as the recipe says.
  int split = 0;            ///< Networks for as many kinds of contact, 3 or 5; 0: one, or as given.
  std::uint64_t seed = 1;
  int checkers = kMaxCheckers;
  int threads = 0;
  bool resume = false;
  bool force = false;  ///< A finished net is written over.
  bool quiet = false;
};

struct SampleOptions {
  std::string out;   ///< By its ending JSON Lines or a file of NumPy.
  std::string from;  ///< A file of positions at which games begin; empty: the usual start.
  std::string score = "money";
  std::uint64_t positions = 20000;
  std::uint64_t trials = 0;  ///< For each position; 0: what the net says.
  double explore = 0.0;      ///< Share of turns at which another play than the best is tried.
  std::uint64_t seed = 1;
  int checkers = 0;  ///< 0: as many as the net is for.
  int threads = 0;
  std::string net;
  std::string cache;
  std::string instruction_set;
  bool force = false;
  bool quiet = false;
};

struct DuelOptions {
  std::string first;
  std::string second;
  std::string score = "money";
  std::uint64_t pairs = 10000;
  std::uint64_t seed = 1;
  int threads = 0;
  double confidence = 0.95;
  std::string instruction_set;
  bool json = false;
  bool quiet = false;
};

int run_evaluate(const PositionOptions& options);
int run_rollout(const RolloutOptions& options);
int run_lesson(const LessonOptions& options);
int run_cube(const CubeOptions& options);
int run_flip(const RolloutOptions& options);
int run_match(const MatchOptions& options);
int run_equities(const EquitiesOptions& options);
int run_solve(const SolveOptions& options);
int run_train(const TrainOptions& options);
int run_sample(const SampleOptions& options);
int run_duel(const DuelOptions& options);

}  // namespace sixfold::tools
