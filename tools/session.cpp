#include "tools/session.h"

#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "base/input_error.h"
#include "equity/match_table_file.h"
#include "report/json/json_report.h"
#include "report/json/request.h"
#include "rules/notation.h"

namespace sixfold::tools {
namespace {

constexpr const char* kShippedNet = "standard.safetensors";

std::atomic<bool> interrupt_flag{false};

void on_interrupt(int) {
  interrupt_flag = true;
  std::signal(SIGINT, SIG_DFL);
  std::signal(SIGTERM, SIG_DFL);
}

/// The shipped net lies where it was installed, in a build's folder or, with the sources, beside
/// it.
std::filesystem::path shipped_net() {
  std::error_code error;
  const std::filesystem::path self = std::filesystem::read_symlink("/proc/self/exe", error);
  const std::filesystem::path room = self.parent_path();
  for (const auto& nets : {room / "nets", room.parent_path() / "nets"}) {
    if (std::filesystem::exists(nets / kShippedNet, error)) return nets / kShippedNet;
  }
  return room.parent_path() / "share" / "sixfold" / kShippedNet;
}

void set_cube(Decision& decision, const std::string& cube, const MoneyRules& money) {
  if (!cube.empty()) decision.cube = parse_cube(cube);
  decision.money = money;
}

/// One decision for each score.
void answer_all(const Decision& asked, const std::string& id, const std::string& scores,
                const MatchEquityTable& table, const Answer& answer) {
  Decision decision = asked;
  for (const Score& score : parse_scores(scores, table)) {
    if (interrupt_flag) return;
    decision.score = score;
    answer(decision, id);
  }
}

int answer_requests(std::istream& in, const PositionOptions& options, const MatchEquityTable& table,
                    const Answer& answer) {
  std::string line;
  for (int number = 1; !interrupt_flag && std::getline(in, line); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    const std::string where = "requests line " + std::to_string(number);
    std::string id = "null";
    try {
      const Request request = parse_request(line, id);
      if (!options.takes_cube && (request.cube || request.jacoby || request.beavers)) {
        const char* field = request.cube ? "cube" : request.jacoby ? "jacoby" : "beavers";
        throw InputError("this command leaves the cube out", std::string("field ") + field,
                         "it with cube and rollout only");
      }
      Decision decision;
      const std::string dice = request.dice.value_or(options.dice);
      if (!dice.empty()) decision.roll = parse_roll(dice);
      decision.position = chosen_position(request.position, request.after,
                                          request.checkers.value_or(options.checkers));
      set_cube(decision, request.cube.value_or(options.cube),
               {request.jacoby.value_or(options.money.jacoby),
                request.beavers.value_or(options.money.beavers)});
      answer_all(decision, id, request.score.value_or(options.scores), table, answer);
    } catch (const InputError& error) {
      print(error_json(id, where + ": " + error.what()) + "\n");
    }
  }
  return interrupt_flag ? kInterrupted : kDone;
}

}  // namespace

const std::atomic<bool>& interrupted() { return interrupt_flag; }

void catch_interrupts() {
  std::signal(SIGINT, on_interrupt);
  std::signal(SIGTERM, on_interrupt);
}

LoadedNet load_net(const std::string& file, const std::string& instruction_set) {
  const std::filesystem::path path = file.empty() ? shipped_net() : std::filesystem::path(file);
  const InstructionSet level =
      instruction_set.empty() ? best_instruction_set() : instruction_set_named(instruction_set);
  NetworkFile network = load_network(path);
  std::string name = path.stem().string() + "/" + network_identity(network);
  return {std::move(name), std::move(network), level};
}

std::unique_ptr<NetworkEvaluator> LoadedNet::evaluator(const ExactTables& tables) const {
  return inside(name,
                [&] { return std::make_unique<NetworkEvaluator>(file.networks, level, tables); });
}

std::vector<std::string> comma_list(const std::string& text, const std::string& what) {
  std::vector<std::string> parts;
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(text.find(',', begin), text.size());
    std::string part = text.substr(begin, end - begin);
    part.erase(0, part.find_first_not_of(' '));
    part.erase(part.find_last_not_of(' ') + 1);
    if (part.empty()) {
      throw InputError("an empty entry in '" + text + "'", what, "entries between commas");
    }
    parts.push_back(std::move(part));
    begin = end + 1;
  }
  return parts;
}

MatchEquityTable match_equities(const std::string& file) {
  return file.empty() ? own_match_equities() : load_match_table(file);
}

std::vector<Score> parse_scores(const std::string& text, const MatchEquityTable& table) {
  std::vector<Score> scores;
  for (const std::string& part : comma_list(text, "score")) {
    const Score score = parse_score(part, table);
    if (std::find(scores.begin(), scores.end(), score) != scores.end()) {
      throw InputError("a duplicate '" + part + "'", "score", "each score once");
    }
    scores.push_back(score);
  }
  return scores;
}

Position chosen_position(const std::string& position, const std::string& after, int checkers) {
  if (checkers < 1 || checkers > kMaxCheckers) {
    throw InputError(std::to_string(checkers) + " is not a number of checkers", "checkers",
                     "1 to 15");
  }
  if (position.empty() == after.empty()) {
    throw InputError(position.empty() ? "no position" : "both a position and a line of plays",
                     "position", "one of position and after");
  }
  return position.empty() ? parse_line(after, checkers) : parse_position(position, checkers);
}

int for_each_decision(const PositionOptions& options, const Answer& answer) {
  if (!options.requests.empty() && !(options.position.empty() && options.after.empty())) {
    throw InputError("both requests and a position", "requests", "one or the other");
  }
  const MatchEquityTable table = match_equities(options.match_table);
  if (options.requests == "-") return answer_requests(std::cin, options, table, answer);
  if (!options.requests.empty()) {
    std::ifstream file(options.requests);
    if (!file || std::filesystem::is_directory(options.requests)) {
      throw InputError("cannot be read", "requests file " + options.requests,
                       "a file with one JSON object a line, or - for standard input");
    }
    return answer_requests(file, options, table, answer);
  }
  Decision decision;
  decision.position = chosen_position(options.position, options.after, options.checkers);
  if (!options.dice.empty()) decision.roll = parse_roll(options.dice);
  set_cube(decision, options.cube, options.money);
  answer_all(decision, "null", options.scores, table, answer);
  return interrupt_flag ? kInterrupted : kDone;
}

void require_place_for(const std::filesystem::path& file, const std::string& option) {
  const std::filesystem::path folder = file.has_parent_path() ? file.parent_path() : ".";
  std::error_code error;
  if (!std::filesystem::is_directory(folder, error)) {
    throw InputError("there is no folder '" + folder.string() + "'", option + " " + file.string(),
                     "a file in a folder that exists");
  }
  if (access(folder.c_str(), W_OK) != 0) {
    throw InputError("folder '" + folder.string() + "' can't be written to",
                     option + " " + file.string(), "a file in a folder that can");
  }
  if (std::filesystem::is_directory(file, error)) {
    throw InputError("is a folder", option + " " + file.string(), "a file");
  }
}

void print(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  if (std::fflush(stdout) != 0 || std::ferror(stdout) != 0) {
    throw InputError(std::string("cannot be written: ") + std::strerror(errno), "standard output",
                     "room for the results");
  }
}

TextStyle terminal_style() {
  const auto variable = [](const char* name) {
    const char* value = std::getenv(name);
    return std::string(value == nullptr ? "" : value);
  };
  return {isatty(STDOUT_FILENO) != 0 && variable("NO_COLOR").empty() && variable("TERM") != "dumb"};
}

ProgressLine::ProgressLine(bool quiet) : visible_(!quiet && isatty(STDERR_FILENO) != 0) {}

ProgressLine::~ProgressLine() { clear(); }

void ProgressLine::show(const std::string& text) {
  if (!visible_) return;
  const auto now = std::chrono::duration_cast<std::chrono::milliseconds>(
                       std::chrono::steady_clock::now() - start_)
                       .count();
  std::int64_t last = last_milliseconds_;
  if (now - last < 200 || !last_milliseconds_.compare_exchange_strong(last, now)) return;
  std::fprintf(stderr, "\r\033[K%s", text.c_str());
  std::fflush(stderr);
}

void ProgressLine::clear() {
  if (visible_) std::fputs("\r\033[K", stderr);
}

double Stopwatch::lap() {
  const auto now = std::chrono::steady_clock::now();
  const double seconds = std::chrono::duration<double>(now - start_).count();
  start_ = now;
  return seconds;
}

}  // namespace sixfold::tools
