#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <string>
#include <string_view>

#include "base/input_error.h"
#include "exact/few_checkers.h"
#include "tools/commands.h"
#include "tools/terminal.h"

namespace {

using namespace sixfold::tools;
using sixfold::Rolling;

constexpr std::uint64_t kMostTrials = 100'000'000;

void add_output_options(CLI::App& command, bool& json, bool& quiet) {
  command.add_flag("--json", json, "JSON Lines on standard output");
  command.add_flag("--quiet", quiet, "No progress on the terminal");
}

void add_threads(CLI::App& command, int& threads) {
  command.add_option("--threads", threads, "Threads; all of the machine's when left out")
      ->check(CLI::Range(1, 1024));
}

void add_isa(CLI::App& command, std::string& level) {
  command.add_option("--isa", level, "Instruction set: scalar, avx2 or avx512");
}

void add_cache(CLI::App& command, std::string& directory) {
  command.add_option("--cache", directory, "Directory of computed tables; ~/.cache/sixfold else");
}

void add_position_options(CLI::App& command, PositionOptions& options, const char* dice) {
  command.add_option("--position", options.position, "ROLLER / OPPONENT, such as \"6x2 / 24 3\"");
  command.add_option("--after", options.after, "Plays from the start, such as \"31: 8/5 6/5\"");
  command.add_option("--checkers", options.checkers, "Checkers a side, 1 to 15");
  if (dice != nullptr) command.add_option("--dice", options.dice, dice);
  command.add_option("--score", options.scores,
                     "money, dmp, gammon-go, gammon-save or such as 3-away/5-away; commas between");
  command.add_option("--equities", options.match_table, "Match equity table as a CSV file");
  command.add_option("--net", options.net, "Network file; the shipped one when left out");
  command
      .add_option("--race-points", options.race_points,
                  "Points that the table of lone bear-offs covers, 6 to 10")
      ->check(CLI::Range(6, 10));
  add_cache(command, options.cache);
  add_isa(command, options.instruction_set);
  add_output_options(command, options.json, options.quiet);
}

void add_diagram(CLI::App& command, PositionOptions& options) {
  command.add_option("--diagram", options.diagram, "A picture of the position to write, as SVG");
}

void add_cube_options(CLI::App& command, PositionOptions& options) {
  options.takes_cube = true;
  command.add_option("--cube", options.cube, "centred, roller:V or opponent:V");
  command.add_flag("--jacoby", options.jacoby, "Gammons count once the cube has been turned");
  command.add_flag("--beavers", options.beavers, "Whoever is doubled may redouble at once");
}

/// For checking the rest: the same answers by slower ways. Help leaves them out.
void add_check_options(CLI::App& command, Rolling& rolling) {
  command.add_flag("--plain", rolling.plain, "No variance reduction")->group("");
  command
      .add_flag("--free-dice", rolling.free_dice,
                "The first two rolls at random too, not spread evenly over the dice")
      ->group("");
  command.add_flag("--play-on", rolling.play_on, "Play on where the outcomes are known exactly")
      ->group("");
  command.set_help_all_flag("--help-all", "Print this help with the options for checks, and exit");
  command.footer("Options for checks are shown by --help-all.");
}

/// Puts into a command's help what is left out of it.
void show_check_options(CLI::App& command) {
  for (CLI::Option* const option : command.get_options()) {
    if (option->get_group().empty()) option->group("For checks");
  }
  command.footer("");
}

/// How trials are played.
void add_trial_options(CLI::App& command, RolloutOptions& options) {
  Rolling& rolling = options.rolling;
  command.add_option("--trials", rolling.trials, "Trials for every play")
      ->check(CLI::Range(std::uint64_t{1}, kMostTrials));
  command.add_option("--confidence", rolling.confidence, "Level of all intervals")
      ->check(CLI::Range(0.5, 0.9999));
  command.add_option("--seed", rolling.seed, "Seed of the dice");
  command.add_option("--lookahead", rolling.lookahead, "Rolls looked ahead by the players, 0 or 1")
      ->check(CLI::Range(0, 1));
  command.add_option("--truncate", rolling.truncate, "End trials after this many plies by the net")
      ->check(CLI::Range(1, 1000));
  command
      .add_option("--luck", rolling.luck,
                  "Luck is read from the net's luck networks (net), from all plays of all rolls "
                  "(full), or left in (none)")
      ->check(CLI::IsMember({"auto", "net", "full", "none"}));
  add_threads(command, options.threads);
  add_check_options(command, rolling);
}

/// How well costs are to be known.
void add_precision_options(CLI::App& command, Rolling& rolling) {
  command
      .add_option("--half-width", rolling.half_width,
                  "Go on until the contested plays' costs are known this well")
      ->check(CLI::NonNegativeNumber);
  command.add_option("--most-trials", rolling.most_trials, "Limit for --half-width, each play")
      ->check(CLI::Range(std::uint64_t{1}, kMostTrials));
}

void add_verdict_options(CLI::App& command, Rolling& rolling) {
  command.add_option("--error", rolling.error, "Cost from which a play is an error")
      ->check(CLI::PositiveNumber);
  command.add_option("--blunder", rolling.blunder, "Cost from which it is a blunder")
      ->check(CLI::PositiveNumber);
}

/// What was typed, quoted where a shell needs it.
std::string shell_words(int count, char** words) {
  constexpr std::string_view kPlain =
      "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./=,:+%@";
  std::string text = "sixfold";
  for (int i = 1; i < count; ++i) {
    const std::string_view word = words[i];
    text += ' ';
    if (!word.empty() && word.find_first_not_of(kPlain) == std::string_view::npos) {
      text += word;
      continue;
    }
    text += '\'';
    for (const char c : word) text += c == '\'' ? std::string("'\\''") : std::string(1, c);
    text += '\'';
  }
  return text;
}

/// Defines the subcommands; `run` becomes the one that was asked for.
class CommandLine {
 public:
  CommandLine() {
    app_.require_subcommand(1);
    define_evaluate();
    define_rollout();
    define_cube();
    define_equities();
    define_flip();
    define_lesson();
    define_solve();
    define_train();
    define_duel();
  }

  int parse_and_run(int argc, char** argv) {
    lesson_.command = shell_words(argc, argv);
    try {
      app_.parse(argc, argv);
    } catch (const CLI::CallForAllHelp& error) {
      for (CLI::App* const command : app_.get_subcommands()) show_check_options(*command);
      return app_.exit(error) == 0 ? kDone : kUsage;
    } catch (const CLI::ParseError& error) {
      return app_.exit(error) == 0 ? kDone : kUsage;
    }
    catch_interrupts();
    return run_();
  }

 private:
  void define_evaluate() {
    CLI::App* command = app_.add_subcommand("evaluate", "Static values of a position or its plays");
    add_position_options(*command, evaluate_, "Roll, such as 43; without it, before the dice");
    command->add_option("--requests", evaluate_.requests, "JSON Lines in: a file, or -");
    command->add_flag("--facts", evaluate_.facts,
                      "Blots, shots, points, primes and the like, before and after the plays");
    add_diagram(*command, evaluate_);
    command->callback([this] { run_ = [this] { return run_evaluate(evaluate_); }; });
  }
  void define_rollout() {
    CLI::App* command = app_.add_subcommand("rollout", "Every legal play of a roll, rolled out");
    add_position_options(*command, rollout_.decision, "Roll, such as 43");
    command->add_option("--requests", rollout_.decision.requests, "JSON Lines in: a file, or -");
    add_cube_options(*command, rollout_.decision);
    add_trial_options(*command, rollout_);
    add_precision_options(*command, rollout_.rolling);
    add_verdict_options(*command, rollout_.rolling);
    command->add_flag("--ledger", rollout_.ledgers,
                      "In JSON too: where the cost of each play comes from");
    command->callback([this] { run_ = [this] { return run_rollout(rollout_); }; });
  }
  void define_cube() {
    CLI::App* command = app_.add_subcommand("cube", "Whether to double, and whether to take");
    cube_.rollout.decision.cube = "centred";
    add_position_options(*command, cube_.rollout.decision, nullptr);
    add_cube_options(*command, cube_.rollout.decision);
    command->add_option("--requests", cube_.rollout.decision.requests,
                        "JSON Lines in: a file, or -");
    add_trial_options(*command, cube_.rollout);
    add_precision_options(*command, cube_.rollout.rolling);
    command->callback([this, command] {
      for (const char* option :
           {"--trials", "--half-width", "--most-trials", "--confidence", "--seed", "--lookahead",
            "--truncate", "--free-dice", "--plain", "--luck", "--play-on"}) {
        cube_.rolled = cube_.rolled || command->count(option) > 0;
      }
      run_ = [this] { return run_cube(cube_); };
    });
  }
  void define_equities() {
    CLI::App* command = app_.add_subcommand(
        "equities", "Chances to win a match at every score; gammon prices and take points");
    command->add_option("--equities", equities_.table, "A table of your own as a CSV file");
    command->add_option("--score", equities_.scores, "Gammon prices and take points at scores");
    command->add_flag("--csv", equities_.csv, "The table as CSV");
    command->add_flag("--json", equities_.json, "Scores as JSON Lines");
    command->callback([this] { run_ = [this] { return run_equities(equities_); }; });
  }
  void define_flip() {
    CLI::App* command = app_.add_subcommand(
        "flip", "Where the verdict flips: the best play by what gammons are worth");
    flip_.rolling.trials = 600;
    flip_.rolling.half_width = 0.0;
    add_position_options(*command, flip_.decision, "Roll, such as 43");
    add_trial_options(*command, flip_);
    command
        ->add_option("--half-width", flip_.rolling.half_width,
                     "None here: every play gets the same trials")
        ->group("");
    command->callback([this] { run_ = [this] { return run_flip(flip_); }; });
  }
  void define_lesson() {
    CLI::App* command =
        app_.add_subcommand("lesson", "One position, several rolls and scores: the grid");
    command->add_option("file", lesson_.file, "Lesson file in JSON");
    add_position_options(*command, lesson_.rollout.decision, "Rolls, such as 31,64");
    add_cube_options(*command, lesson_.rollout.decision);
    add_trial_options(*command, lesson_.rollout);
    add_precision_options(*command, lesson_.rollout.rolling);
    add_verdict_options(*command, lesson_.rollout.rolling);
    command->add_option("--flip", lesson_.flips,
                        "Rolls whose best play is looked for at all scores, such as 64");
    command
        ->add_option("--out", lesson_.outs,
                     "Sheet to write, ending in .html, .md, .csv or .json; several by repeating it")
        ->allow_extra_args(false);
    add_diagram(*command, lesson_.rollout.decision);
    command->add_flag("--quiz", lesson_.is_quiz, "The page asks first and folds its answers");
    command->callback([this, command] {
      for (const char* option :
           {"--score", "--trials", "--half-width", "--seed", "--cube", "--jacoby", "--beavers"}) {
        if (command->count(option) > 0) lesson_.typed.insert(option);
      }
      run_ = [this] { return run_lesson(lesson_); };
    });
  }
  void define_solve() {
    CLI::App* command =
        app_.add_subcommand("solve", "A game of one, two or three checkers, exactly");
    command->add_option("--checkers", solve_.checkers, "Checkers a side, 1 to 3")
        ->check(CLI::Range(1, sixfold::SolvedGame::kMostCheckers));
    add_cache(*command, solve_.cache);
    add_threads(*command, solve_.threads);
    add_output_options(*command, solve_.json, solve_.quiet);
    command->callback([this] { run_ = [this] { return run_solve(solve_); }; });
  }
  void define_train() {
    CLI::App* command = app_.add_subcommand("train", "A personal evaluator from scratch");
    command->add_option(
        "--recipe", train_.recipe,
        "quick, standard, full or (with --start) refine; luck networks: quick or standard");
    command->add_option("--luck-for", train_.luck_for,
                        "Train luck networks for this network file instead");
    command->add_option("--out", train_.out, "Network file to write")->required();
    command->add_option("--games", train_.games, "Games instead of the recipe's number")
        ->check(CLI::Range(std::uint64_t{1}, std::uint64_t{1'000'000'000}));
    command->add_option("--from", train_.from,
                        "Begin games at the positions of this file, one a line, in turn");
    command->add_option("--score", train_.score,
                        "Score by which players choose: money, dmp, gammon-go or gammon-save");
    command->add_option(
        "--luck-by", train_.luck_by,
        "Take the luck of rolls out of what is learnt, by this file's luck networks");
    command->add_option("--start", train_.start,
                        "Start from this network's weights instead of random ones");
    command->add_option(
        "--width", train_.width,
        "Hidden units of the contact network instead of the recipe's number; with --start "
        "those that matter least are left out");
    command->add_option(
        "--split", train_.split,
        "3 networks for contact instead of one: both sides, only the roller or only the "
        "opponent have checkers in the other's home board; 5: the roller's on the bar apart");
    command->add_option("--seed", train_.seed, "Seed of weights and dice");
    command->add_option("--checkers", train_.checkers, "Checkers a side, 15 or 1 to 12");
    command->add_flag("--resume", train_.resume, "Go on from FILE.checkpoint");
    command->add_flag("--quiet", train_.quiet, "No progress");
    add_threads(*command, train_.threads);
    command->callback([this] { run_ = [this] { return run_train(train_); }; });
  }
  void define_duel() {
    CLI::App* command = app_.add_subcommand("duel", "Two evaluators on common dice");
    command->add_option("first", duel_.first, "Network file")->required();
    command->add_option("second", duel_.second, "Network file")->required();
    command->add_option("--score", duel_.score,
                        "Score by which they choose: money, dmp, gammon-go or gammon-save");
    command->add_option("--pairs", duel_.pairs, "Pairs of games with the seats swapped")
        ->check(CLI::Range(std::uint64_t{2}, std::uint64_t{100'000'000}));
    command->add_option("--seed", duel_.seed, "Seed of the dice");
    command->add_option("--confidence", duel_.confidence, "Level of the interval")
        ->check(CLI::Range(0.5, 0.9999));
    add_isa(*command, duel_.instruction_set);
    add_threads(*command, duel_.threads);
    add_output_options(*command, duel_.json, duel_.quiet);
    command->callback([this] { run_ = [this] { return run_duel(duel_); }; });
  }

  CLI::App app_{"Sixfold: backgammon rollouts with honest intervals", "sixfold"};
  PositionOptions evaluate_;
  RolloutOptions rollout_;
  LessonOptions lesson_;
  SolveOptions solve_;
  CubeOptions cube_;
  RolloutOptions flip_;
  EquitiesOptions equities_;
  TrainOptions train_;
  DuelOptions duel_;
  std::function<int()> run_;
};

}  // namespace

int main(int argc, char** argv) {
  try {
    return CommandLine().parse_and_run(argc, argv);
  } catch (const sixfold::InputError& error) {
    std::fprintf(stderr, "sixfold: %s\n", error.what());
    return kBadInput;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "sixfold: internal error: %s\n", error.what());
    return kInternalError;
  }
}
