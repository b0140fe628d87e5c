#include "tools/options.h"

#include <CLI/CLI.hpp>
#include <memory>

#include "base/format.h"
#include "base/input_error.h"
#include "report/text/layout.h"
#include "rollout/plan.h"
#include "tools/help.h"

namespace sixfold::tools {
namespace {

constexpr std::size_t kHelpColumns = 80;
constexpr std::size_t kNameColumns = 26;

/// Help within 80 columns.
class Help final : public CLI::Formatter {
 public:
  Help() { column_width(kNameColumns); }
  std::string make_option_desc(const CLI::Option* option) const override {
    return broken(CLI::Formatter::make_option_desc(option), kHelpColumns - kNameColumns);
  }
};

/// `least` itself is allowed where it is not `above`.
template <typename Value>
void add_number(CLI::App& command, const char* name, Value& value, double least, double most,
                bool above, const std::string& help) {
  command.add_option(name, value, help)->type_name("X")->check([=](const std::string& text) {
    return complaint_about_number(text, least, most, above);
  });
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
}

}  // namespace

void set_help_form(CLI::App& app) { app.formatter(std::make_shared<Help>()); }

void add_count(CLI::App& command, const char* name, std::uint64_t& value, std::uint64_t least,
               std::uint64_t most, const std::string& help) {
  command.add_option(name, value, help)->type_name("N")->check([=](const std::string& text) {
    return complaint_about_whole(text, least, most);
  });
}

void add_count(CLI::App& command, const char* name, int& value, int least, int most,
               const std::string& help) {
  command.add_option(name, value, help)->type_name("N")->check([=](const std::string& text) {
    return complaint_about_whole(text, static_cast<std::uint64_t>(least),
                                 static_cast<std::uint64_t>(most));
  });
}

void add_output_options(CLI::App& command, bool& json, bool& quiet) {
  command.add_flag("--json", json, "JSON Lines on standard output");
  command.add_flag("--quiet", quiet, "No progress on the terminal");
}

void add_seed(CLI::App& command, std::uint64_t& seed, const std::string& help) {
  add_count(command, "--seed", seed, 0, ~std::uint64_t{0},
            format("{}, {} when left out", help, seed));
}

void add_share(CLI::App& command, const char* name, double& share, const std::string& help) {
  add_number(command, name, share, 0.0, 1.0, false, help);
}

void add_confidence(CLI::App& command, double& confidence) {
  add_number(command, "--confidence", confidence, kLeastConfidence, kMostConfidence, false,
             format("Level of all intervals, {:g} when left out", confidence));
}

void add_threads(CLI::App& command, int& threads) {
  add_count(command, "--threads", threads, 1, 1024, "Threads; all of the machine's when left out");
}

void add_isa(CLI::App& command, std::string& level) {
  command.add_option("--isa", level, "Instruction set: scalar, avx2, avx512 or neon");
}

void add_cache(CLI::App& command, std::string& directory) {
  command
      .add_option("--cache", directory,
                  "Where computed tables are kept; ~/.cache/sixfold when left out")
      ->type_name(kFolder);
}

void add_engine_options(CLI::App& command, PositionOptions& options) {
  command.add_option("--equities", options.match_table, "Match equity table as a CSV file")
      ->type_name(kFile);
  command.add_option("--net", options.net, "Network file; the shipped one when left out")
      ->type_name(kFile);
  add_cache(command, options.cache);
  add_isa(command, options.instruction_set);
}

void add_position_options(CLI::App& command, PositionOptions& options, const char* dice) {
  command.add_option("--position", options.position,
                     "ROLLER / OPPONENT, such as \"6x2 / 24 3\", each side's points numbered from "
                     "its own home board");
  command.add_flag("--both-from-roller", options.both_from_roller,
                   "The opponent's points are numbered as the roller's are");
  command.add_option("--after", options.after, "Plays from the start, such as \"31: 8/5 6/5\"");
  command.add_option("--checkers", options.checkers, "Checkers a side, 1 to 15");
  if (dice != nullptr) command.add_option("--dice", options.dice, dice);
  command.add_option("--score", options.scores,
                     "money, dmp, gammon-go, gammon-save or such as 3-away/5-away; commas between");
  add_engine_options(command, options);
  add_count(command, "--race-points", options.race_points, 6, 10,
            "Points that the table of lone bear-offs covers, 6 to 10");
  add_output_options(command, options.json, options.quiet);
}

void add_requests(CLI::App& command, PositionOptions& options) {
  command
      .add_option("--requests", options.requests,
                  "Questions as JSON Lines, answered in JSON: a file, or - for standard input")
      ->type_name(kFile);
}

void add_csv(CLI::App& command, PositionOptions& options) {
  command.add_flag("--csv", options.csv, "Comma-separated values on standard output");
}

void add_force(CLI::App& command, bool& force) {
  command.add_flag("--force", force, "Write over files that are there");
}

void add_diagram(CLI::App& command, PositionOptions& options) {
  command.add_option("--diagram", options.diagram, "A picture of the position to write, as SVG")
      ->type_name(kFile);
  add_force(command, options.force);
}

void add_cube_options(CLI::App& command, PositionOptions& options) {
  command.add_option("--cube", options.cube,
                     options.cube.empty() ? "centred, as when left out wherever somebody may "
                                            "double, roller:V, opponent:V or none"
                                          : "centred, as when left out, roller:V or opponent:V");
  command.add_flag("--jacoby", options.jacoby, "At money: gammons count once the cube is turned");
  command.add_flag("--beavers", options.beavers,
                   "At money: whoever is doubled may redouble at once");
}

void set_footer(CLI::App& command) {
  const bool hides = command.get_help_all_ptr() != nullptr;
  command.footer(examples_of(command.get_name()) +
                 (hides ? "\n\nOptions for checks are shown by --help-all." : ""));
}

void show_check_options(CLI::App& command) {
  for (CLI::Option* const option : command.get_options()) {
    if (option->get_group().empty()) option->group("For checks");
  }
  command.footer(examples_of(command.get_name()));
}

void add_trial_options(CLI::App& command, RolloutOptions& options) {
  options.decision.takes_trials = true;
  Rolling& rolling = options.rolling;
  add_count(command, "--trials", rolling.trials, 1, kMostTrials,
            format("Trials for every play, {} when left out{}", rolling.trials,
                   rolling.half_width > 0.0 ? "; more for --half-width" : ""));
  add_confidence(command, rolling.confidence);
  add_seed(command, rolling.seed, "Seed of the dice");
  add_count(command, "--lookahead", rolling.lookahead, 0, kMostLookahead,
            "Rolls looked ahead by the players, 0 or 1");
  add_count(command, "--truncate", rolling.truncate, 1, kLatestTruncation,
            "End trials after this many plies by the net");
  command
      .add_option("--luck", rolling.luck,
                  "Luck is read from the net's luck networks (net), from all plays of all rolls "
                  "(full), or left in (none)")
      ->check(CLI::IsMember({"auto", "net", "full", "none"}).description(""));
  add_threads(command, options.threads);
  add_check_options(command, rolling);
}

void add_opponent(CLI::App& command, PositionOptions& options) {
  command
      .add_option("--opponent-net", options.opponent_net,
                  "Network file by which the opponent plays, doubles and takes in trials; the same "
                  "net when left out")
      ->type_name(kFile);
}

void add_precision_options(CLI::App& command, Rolling& rolling) {
  add_number(command, "--half-width", rolling.half_width, 0.0, kWidestWanted, false,
             format("Go on until the costs of plays that may be best, and of those that are named, "
                    "are known this well, {:g} when left out; 0: --trials alone",
                    rolling.half_width));
  add_count(command, "--most-trials", rolling.most_trials, 1, kMostTrials,
            format("No more for any play, {} when left out", rolling.most_trials));
}

void require_limit_to_matter(const CLI::App& command, const Rolling& rolling) {
  if (command.count("--most-trials") == 0 || rolling.half_width > 0.0) return;
  throw InputError("'--half-width 0' has no limit to reach", "--most-trials", "--trials alone");
}

void add_depth_options(CLI::App& command, double& bound, Rolling& rolling) {
  add_number(
      command, "--bound", bound, 0.0, kWidestWanted, true,
      format(
          "What costs so much by static values or a roll ahead is rolled out, {:g} when left out",
          bound));
  add_number(command, "--half-width", rolling.half_width, 0.0, kWidestWanted, true,
             format("Until its cost is known this well, {:g} when left out", rolling.half_width));
  add_seed(command, rolling.seed, "Seed of the dice");
}

void add_verdict_options(CLI::App& command, Rolling& rolling) {
  add_number(command, "--error", rolling.error, 0.0, kWidestWanted, true,
             "Cost from which a play is an error to you; without it none is graded");
  add_number(command, "--blunder", rolling.blunder, 0.0, kWidestWanted, true,
             "Cost from which it is a blunder to you");
}

void define_rollout(CLI::App& app, RolloutOptions& options, std::function<int()>& run) {
  CLI::App* const command = app.add_subcommand("rollout", "Every legal play of a roll, rolled out");
  add_position_options(*command, options.decision, "Roll, such as 43");
  options.decision.takes_plays = true;
  command->add_option("--plays", options.decision.plays,
                      "These plays alone, such as \"24/14; 13/9 13/7\"");
  add_requests(*command, options.decision);
  add_csv(*command, options.decision);
  add_cube_options(*command, options.decision);
  add_trial_options(*command, options);
  add_opponent(*command, options.decision);
  add_precision_options(*command, options.rolling);
  add_verdict_options(*command, options.rolling);
  command->add_flag("--ledger", options.decision.ledger,
                    "In JSON too: where the cost of each play comes from");
  command->callback([&options, &run, command] {
    require_limit_to_matter(*command, options.rolling);
    run = [&options] { return run_rollout(options); };
  });
}

}  // namespace sixfold::tools
