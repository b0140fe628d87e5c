#include <CLI/CLI.hpp>
#include <exception>
#include <functional>
#include <iostream>
#include <string>
#include <string_view>

#include "base/clean_text.h"
#include "base/format.h"
#include "base/input_error.h"
#include "exact/few_checkers.h"
#include "rollout/plan.h"
#include "tools/board/board.h"
#include "tools/commands.h"
#include "tools/help.h"
#include "tools/manual/command_line.h"
#include "tools/options.h"
#include "tools/places.h"
#include "tools/queue/command_line.h"
#include "tools/terminal.h"

namespace {

using namespace sixfold::tools;
using sixfold::format;

/// Defines the subcommands; `run` becomes the one that was asked for.
class CommandLine {
 public:
  CommandLine() {
    app_.require_subcommand(1);
    set_help_form(app_);
    app_.set_version_flag("--version", "sixfold " + std::string(sixfold::Engine::version()));
    app_.failure_message([](const CLI::App* app, const CLI::Error& error) {
      const auto chosen = app->get_subcommands();
      const bool is_known = !chosen.empty() && chosen.front()->get_name() != "help";
      const std::string command = is_known ? " " + chosen.front()->get_name() : "";
      return format("sixfold{}: {}\nsee `sixfold help{}`\n", command,
                    sixfold::clean_text(error.what()), command);
    });
    define_evaluate();
    define_rollout(app_, rollout_, run_);
    define_cube();
    define_equities();
    define_flip();
    define_lesson();
    define_match();
    define_solve();
    define_train();
    define_sample();
    define_duel();
    define_queue(app_, queue_, run_);
    define_board(app_, board_, run_);
    for (CLI::App* const command : app_.get_subcommands({})) set_footer(*command);
    define_help();
    define_manual(app_, manual_, run_);
  }

  int parse_and_run(int argc, char** argv) {
    lesson_.command = match_.command = queue_.command = shell_words(argc, argv);
    try {
      app_.parse(argc, argv);
    } catch (const CLI::CallForAllHelp& error) {
      for (CLI::App* const command : app_.get_subcommands()) show_check_options(*command);
      return told(error);
    } catch (const CLI::ParseError& error) {
      return told(error);
    }
    catch_interrupts();
    return run_();
  }

 private:
  /// Help that was asked for, or what is wrong.
  int told(const CLI::ParseError& error) {
    const int status = app_.exit(error) == 0 ? kDone : kUsage;
    if (std::cout.flush()) return status;
    throw sixfold::InputError("cannot be written", "standard output", "room for the help");
  }
  void define_evaluate() {
    CLI::App* command = app_.add_subcommand("evaluate", "Static values of a position or its plays");
    add_position_options(*command, evaluate_, "Roll, such as 43; without it, before the dice");
    add_cube_options(*command, evaluate_);
    add_requests(*command, evaluate_);
    add_csv(*command, evaluate_);
    command->add_flag("--facts", evaluate_.facts,
                      "Blots, shots, points, primes and the like, before and after the plays");
    command->add_flag("--distributions", evaluate_.distributions,
                      "The six outcomes alone, before the dice, in JSON or CSV: for programs");
    add_diagram(*command, evaluate_);
    command->callback([this] { run_ = [this] { return run_evaluate(evaluate_); }; });
  }
  void define_cube() {
    CLI::App* command = app_.add_subcommand("cube", "Whether to double, and whether to take");
    cube_.rollout.decision.cube = "centred";
    add_position_options(*command, cube_.rollout.decision, nullptr);
    add_cube_options(*command, cube_.rollout.decision);
    add_requests(*command, cube_.rollout.decision);
    add_csv(*command, cube_.rollout.decision);
    add_trial_options(*command, cube_.rollout);
    add_opponent(*command, cube_.rollout.decision);
    add_precision_options(*command, cube_.rollout.rolling);
    command->callback([this, command] {
      for (const char* option :
           {"--trials", "--half-width", "--most-trials", "--confidence", "--seed", "--lookahead",
            "--truncate", "--free-dice", "--plain", "--luck", "--play-on", "--opponent-net"}) {
        cube_.rolled = cube_.rolled || command->count(option) > 0;
      }
      require_limit_to_matter(*command, cube_.rollout.rolling);
      run_ = [this] { return run_cube(cube_); };
    });
  }
  void define_equities() {
    CLI::App* command = app_.add_subcommand(
        "equities", "Chances to win a match at every score; gammon prices and take points");
    command->add_option("--equities", equities_.table, "A table of your own as a CSV file")
        ->type_name(kFile);
    command->add_option("--score", equities_.scores, "Gammon prices and take points at scores");
    command->add_flag("--csv", equities_.csv, "The table as CSV");
    command->add_flag("--json", equities_.json, "Scores as JSON Lines");
    command->callback([this] { run_ = [this] { return run_equities(equities_); }; });
  }
  void define_flip() {
    CLI::App* command = app_.add_subcommand(
        "flip", "Where the verdict flips by what gammons are worth, without the cube");
    flip_.rolling.trials = 600;
    flip_.rolling.half_width = 0.0;
    add_position_options(*command, flip_.decision, "Roll, such as 43");
    add_trial_options(*command, flip_);
    command
        ->add_option("--half-width", flip_.rolling.half_width,
                     "None here: every play gets the same trials")
        ->group("");
    command->add_option("--cube", flip_.decision.cube, "None here: the plane leaves the cube out")
        ->group("");
    command->callback([this] { run_ = [this] { return run_flip(flip_); }; });
  }
  void define_lesson() {
    CLI::App* command =
        app_.add_subcommand("lesson", "One position, several rolls and scores: the grid");
    command->add_option("file", lesson_.file, "Lesson file in JSON; - for standard input")
        ->type_name(kFile);
    add_position_options(*command, lesson_.rollout.decision, "Rolls, such as 31,64");
    add_csv(*command, lesson_.rollout.decision);
    add_cube_options(*command, lesson_.rollout.decision);
    add_trial_options(*command, lesson_.rollout);
    add_opponent(*command, lesson_.rollout.decision);
    add_precision_options(*command, lesson_.rollout.rolling);
    add_verdict_options(*command, lesson_.rollout.rolling);
    command->add_option("--flip", lesson_.flips,
                        "Rolls whose best play is looked for at all scores, such as 64");
    command
        ->add_option("--out", lesson_.outs,
                     "Sheet to write, ending in .html, .md, .csv or .json; several by repeating it")
        ->type_name(kFile)
        ->allow_extra_args(false);
    add_diagram(*command, lesson_.rollout.decision);
    command->add_flag("--quiz", lesson_.is_quiz, "The page asks first and folds its answers");
    command->callback([this, command] {
      for (const char* option :
           {"--score", "--trials", "--half-width", "--most-trials", "--confidence", "--seed",
            "--error", "--blunder", "--cube", "--jacoby", "--beavers", "--checkers"}) {
        if (command->count(option) > 0) lesson_.typed.insert(option);
      }
      require_limit_to_matter(*command, lesson_.rollout.rolling);
      run_ = [this] { return run_lesson(lesson_); };
    });
  }
  void define_match() {
    CLI::App* command = app_.add_subcommand(
        "match", "A recorded match: what each decision cost, and who was lucky");
    PositionOptions& common = match_.common;
    command
        ->add_option("file", match_.file, "Recorded match, SGF or plain text; - for standard input")
        ->type_name(kFile)
        ->required();
    command
        ->add_option(
            "--depth", match_.depth,
            "static: by the net's own values, at once, as when left out; lookahead: a roll "
            "ahead; rollout: what costs much by either is rolled out, too")
        ->check(CLI::IsMember({"static", "lookahead", "rollout"}).description(""));
    add_depth_options(*command, match_.bound, match_.rolling);
    add_threads(*command, match_.threads);
    add_count(*command, "--lesson", match_.lessons, 1, 1000,
              "Write lesson files of so many of the dearest decisions");
    command
        ->add_option("--out", match_.outs,
                     "File to write: a page (.html), Markdown (.md), CSV or JSON; may be repeated; "
                     "of another ending: the folder for the lesson files")
        ->type_name(kFile)
        ->allow_extra_args(false);
    add_force(*command, match_.force);
    command
        ->add_option("--queue", match_.queue,
                     "A night's queue: what is dear and undecided is put into it, and what it has "
                     "found comes back")
        ->type_name(kFile);
    add_engine_options(*command, common);
    add_output_options(*command, common.json, common.quiet);
    add_csv(*command, common);
    command->callback([this, command] {
      for (const char* option : {"--bound", "--half-width", "--seed"}) {
        const bool is_bound_asked = option == std::string_view("--bound") && !match_.queue.empty();
        if (command->count(option) > 0 && match_.depth != "rollout" && !is_bound_asked) {
          throw sixfold::InputError("nothing is rolled out", option,
                                    option == std::string_view("--bound")
                                        ? "it with --depth rollout or --queue"
                                        : "it with --depth rollout");
        }
      }
      if (!match_.queue.empty() && !match_.common.match_table.empty()) {
        throw sixfold::InputError("a night is played by the table of our own", "--equities",
                                  "no --queue beside it");
      }
      run_ = [this] { return run_match(match_); };
    });
  }
  void define_solve() {
    CLI::App* command =
        app_.add_subcommand("solve", "A game of one, two or three checkers, exactly");
    add_count(*command, "--checkers", solve_.checkers, 1, sixfold::SolvedGame::kMostCheckers,
              "Checkers a side, 1 to 3");
    add_cache(*command, solve_.cache);
    add_threads(*command, solve_.threads);
    add_output_options(*command, solve_.json, solve_.quiet);
    command->callback([this] { run_ = [this] { return run_solve(solve_); }; });
  }
  void define_train() {
    CLI::App* command = app_.add_subcommand("train", "A personal evaluator from scratch");
    command->add_option("--recipe", train_.recipe,
                        "quick, standard, full or (with --start) refine; for parts of a finished "
                        "net: quick or standard");
    command
        ->add_option("--luck-for", train_.luck_for,
                     "Train luck networks for this network file instead")
        ->type_name(kFile);
    command
        ->add_option("--cube-for", train_.cube_for,
                     "Learn what the cube adds for this network file instead")
        ->type_name(kFile);
    command->add_option("--out", train_.out, "Network file to write")->type_name(kFile)->required();
    add_count(*command, "--games", train_.games, 1, 1'000'000'000,
              "Games instead of the recipe's number");
    command
        ->add_option("--from", train_.from,
                     "Begin games at the positions of this file, one a line, in turn")
        ->type_name(kFile);
    command->add_option("--score", train_.score,
                        "Score by which players choose: money, dmp, gammon-go or gammon-save");
    command
        ->add_option("--luck-by", train_.luck_by,
                     "Take the luck of rolls out of what is learnt, by this file's luck networks")
        ->type_name(kFile);
    command
        ->add_option("--start", train_.start,
                     "Start from this network's weights instead of random ones")
        ->type_name(kFile);
    command->add_option(
        "--width", train_.width,
        "Hidden units of the contact network instead of the recipe's number; with --start "
        "those that matter least are left out");
    command->add_option(
        "--split", train_.split,
        "3 networks for contact instead of one: both sides, only the roller or only the "
        "opponent have checkers in the other's home board; 5: the roller's on the bar apart");
    add_seed(*command, train_.seed, "Seed of weights and dice");
    command->add_option("--checkers", train_.checkers, "Checkers a side, 15 or 1 to 12");
    command->add_flag("--resume", train_.resume, "Go on from FILE.checkpoint");
    add_force(*command, train_.force);
    command->add_flag("--quiet", train_.quiet, "No progress");
    add_threads(*command, train_.threads);
    command->callback([this] { run_ = [this] { return run_train(train_); }; });
  }
  void define_sample() {
    CLI::App* command = app_.add_subcommand(
        "sample", "Positions of a net's games with their distributions, to train others on");
    command
        ->add_option("--out", sample_.out,
                     "File to write: .jsonl, a line of JSON each, or .npy, an array of NumPy")
        ->type_name(kFile)
        ->required();
    add_count(*command, "--positions", sample_.positions, 1, 10'000'000,
              format("Positions, {} when left out", sample_.positions));
    add_count(*command, "--trials", sample_.trials, 1, sixfold::kMostTrials,
              "Roll every position out with so many trials; without it the net says what it is "
              "worth");
    command
        ->add_option("--from", sample_.from,
                     "Begin games at the positions of this file, one a line, in turn")
        ->type_name(kFile);
    command->add_option("--score", sample_.score,
                        "Score by which players choose: money, dmp, gammon-go or gammon-save");
    add_share(*command, "--explore", sample_.explore,
              "Share of turns at which another play within .1 of the best is tried, 0 when left "
              "out");
    add_count(*command, "--checkers", sample_.checkers, 1, sixfold::kMaxCheckers,
              "Checkers a side, 15 or 1 to 12; those of the net when left out");
    command->add_option("--net", sample_.net, "Network file; the shipped one when left out")
        ->type_name(kFile);
    add_cache(*command, sample_.cache);
    add_isa(*command, sample_.instruction_set);
    add_seed(*command, sample_.seed, "Seed of the dice");
    add_threads(*command, sample_.threads);
    add_force(*command, sample_.force);
    command->add_flag("--quiet", sample_.quiet, "No progress");
    command->callback([this] { run_ = [this] { return run_sample(sample_); }; });
  }
  void define_duel() {
    CLI::App* command = app_.add_subcommand("duel", "Two evaluators on common dice");
    command->add_option("first", duel_.first, "Network file")->type_name(kFile)->required();
    command->add_option("second", duel_.second, "Network file")->type_name(kFile)->required();
    command->add_option("--score", duel_.score,
                        "Score by which they choose: money, dmp, gammon-go or gammon-save");
    add_count(*command, "--pairs", duel_.pairs, 2, 100'000'000,
              format("Pairs of games with the seats swapped, {} when left out", duel_.pairs));
    add_seed(*command, duel_.seed, "Seed of the dice");
    add_confidence(*command, duel_.confidence);
    add_isa(*command, duel_.instruction_set);
    add_threads(*command, duel_.threads);
    add_output_options(*command, duel_.json, duel_.quiet);
    command->callback([this] { run_ = [this] { return run_duel(duel_); }; });
  }

  void define_help() {
    CLI::App* command = app_.add_subcommand("help", "The options of a command");
    command->add_option("command", helped_, "Such as rollout");
    command->callback([this] {
      const auto found =
          app_.get_subcommands([this](CLI::App* each) { return each->get_name() == helped_; });
      if (!helped_.empty() && found.empty()) {
        throw CLI::ValidationError("there is no command '" + helped_ + "'");
      }
      const CLI::App* const about = found.empty() ? &app_ : found.front();
      run_ = [this, about] {
        const std::string name = app_.get_name() + (about == &app_ ? "" : " " + helped_);
        print(app_.get_formatter()->make_help(about, name, CLI::AppFormatMode::Normal));
        return kDone;
      };
    });
  }

  CLI::App app_{"Sixfold: backgammon rollouts with honest intervals", "sixfold"};
  PositionOptions evaluate_;
  RolloutOptions rollout_;
  LessonOptions lesson_;
  MatchOptions match_;
  SolveOptions solve_;
  CubeOptions cube_;
  RolloutOptions flip_;
  EquitiesOptions equities_;
  TrainOptions train_;
  SampleOptions sample_;
  DuelOptions duel_;
  QueueOptions queue_;
  BoardOptions board_;
  std::string helped_;
  std::string manual_;
  std::function<int()> run_;
};

}  // namespace

int main(int argc, char** argv) {
  try {
    return CommandLine().parse_and_run(argc, argv);
  } catch (const sixfold::InputError& error) {
    note(error.what());
    return kBadInput;
  } catch (const std::exception& error) {
    note(format("internal error: {}", error.what()));
    return kInternalError;
  }
}
