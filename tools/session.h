/// What the subcommands share: options, the net, interruption, reading of requests and writing of
/// results. Everything that touches terminal, clock and signals lives in tools/.
#pragma once

#include <atomic>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "evaluator/evaluator.h"
#include "evaluator/network_file.h"
#include "report/text/style.h"
#include "rollout/rollout.h"
#include "study/decision.h"

namespace sixfold::tools {

// Exit codes of the tool.
inline constexpr int kDone = 0;
inline constexpr int kBadInput = 1;
inline constexpr int kUsage = 2;
inline constexpr int kInternalError = 3;
inline constexpr int kInterrupted = 130;

/// Options of the commands that look at positions; empty texts were not given.
struct PositionOptions {
  std::string position;
  std::string after;
  int checkers = kMaxCheckers;
  std::string dice;
  std::string scores = "money";
  bool takes_cube = false;  ///< Whether the command knows of doubling.
  std::string cube;         ///< Empty: left out.
  MoneyRules money;
  std::string match_table;  ///< Match equities as a CSV file; empty: those of our own.
  std::string requests;     ///< A file, or "-" for standard input.
  std::string net;
  std::string instruction_set;
  std::string cache;    ///< Directory of tables; empty: the user's usual place.
  int race_points = 6;  ///< How far from home the one-sided table reaches.
  bool facts = false;   ///< Of `evaluate`: the facts of position and plays too.
  std::string diagram;  ///< Of `evaluate` and `lesson`: a picture to write; empty: none.
  bool json = false;
  bool quiet = false;
};

/// Set by the first Ctrl-C; a second one ends the process at once.
[[nodiscard]] const std::atomic<bool>& interrupted();
void catch_interrupts();

/// A net with the name that reports give it.
struct LoadedNet {
  std::string name;
  NetworkFile file;
  InstructionSet level;

  [[nodiscard]] std::unique_ptr<NetworkEvaluator> evaluator(const ExactTables& tables = {}) const;
};

/// Loads `file`, or the net that comes with the tool when empty. Throws InputError.
[[nodiscard]] LoadedNet load_net(const std::string& file, const std::string& instruction_set);

/// "a,b" -> a, b. Throws InputError for an empty part; `what` names it.
[[nodiscard]] std::vector<std::string> comma_list(const std::string& text, const std::string& what);
/// The table of a CSV file, or that of our own when empty. Throws InputError.
[[nodiscard]] MatchEquityTable match_equities(const std::string& file);
[[nodiscard]] std::vector<Score> parse_scores(const std::string& text,
                                              const MatchEquityTable& table);

/// The position of --position or --after. Throws InputError unless exactly one is given.
[[nodiscard]] Position chosen_position(const std::string& position, const std::string& after,
                                       int checkers);

/// Called with a decision and the caller's name for it, as JSON.
using Answer = std::function<void(const Decision&, const std::string& id)>;

/// Calls `answer` for each decision of the options or of the requests, in order. A bad request is
/// answered by an error line and does not stop the rest. Returns the exit code.
int for_each_decision(const PositionOptions& options, const Answer& answer);

/// Refuses a file that could not be written, before any work is done for it: throws InputError
/// unless its folder exists and it is none itself.
void require_place_for(const std::filesystem::path& file, const std::string& option);

/// Writes a text to standard output at once; throws InputError when that fails (a full disk).
void print(const std::string& text);

/// In colour where people look at standard output who have not asked for plain text by NO_COLOR or
/// TERM=dumb (https://no-color.org).
[[nodiscard]] TextStyle terminal_style();

/// A line on a terminal that is written over: nothing appears in files and pipes.
class ProgressLine {
 public:
  explicit ProgressLine(bool quiet);
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  /// Shows a text, at most a few times a second. May be called from any thread.
  void show(const std::string& text);
  void clear();
  [[nodiscard]] bool visible() const { return visible_; }

 private:
  bool visible_;
  std::atomic<std::int64_t> last_milliseconds_{-1000};
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

class Stopwatch {
 public:
  /// Seconds since it was made or last read.
  double lap();

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

}  // namespace sixfold::tools
