#include "tools/questions.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <utility>

#include "base/input_error.h"
#include "exact/one_sided.h"
#include "report/json/json_report.h"
#include "report/json/request.h"
#include "tools/places.h"

namespace sixfold::tools {
namespace {

/// One question for each score. All scores are read before the first is answered.
void answer_all(Question question, const std::string& id, const std::string& scores,
                const Core& core, const Answer& answer) {
  for (const Score& score : parse_scores(scores, core.match_table())) {
    if (interrupted()) return;
    question.score = score.name;
    answer(question, id);
  }
}

/// The question of a request, what it leaves out being what the options say.
Question asked_by(const Request& request, const PositionOptions& options) {
  if (!options.takes_cube && (request.cube || request.jacoby || request.beavers)) {
    const char* field = request.cube ? "cube" : request.jacoby ? "jacoby" : "beavers";
    throw InputError("this command leaves the cube out", std::string("field ") + field,
                     "it with cube and rollout only");
  }
  Question question;
  question.position = request.position;
  question.after = request.after;
  question.dice = request.dice.value_or(options.dice);
  question.cube = request.cube.value_or(options.cube);
  question.jacoby = request.jacoby.value_or(options.jacoby);
  question.beavers = request.beavers.value_or(options.beavers);
  question.checkers = request.checkers.value_or(options.checkers);
  return question;
}

int answer_requests(std::istream& in, const PositionOptions& options, const Core& core,
                    const Answer& answer) {
  std::string line;
  for (int number = 1; !interrupted() && std::getline(in, line); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    const std::string where = "requests line " + std::to_string(number);
    std::string id = "null";
    try {
      const Request request = parse_request(line, id);
      answer_all(asked_by(request, options), id, request.score.value_or(options.scores), core,
                 answer);
    } catch (const InputError& error) {
      print(error_json(id, where + ": " + error.what()) + "\n");
    }
  }
  return interrupted() ? kInterrupted : kDone;
}

}  // namespace

Engine engine_of(const PositionOptions& options, int threads) {
  EngineOptions wanted;
  wanted.net = options.net.empty() ? shipped_net() : std::filesystem::path(options.net);
  wanted.match_table = options.match_table;
  wanted.cache = cache_directory(options.cache);
  wanted.threads = threads;
  wanted.instruction_set = options.instruction_set;
  wanted.race_points = options.race_points;
  wanted.note = note;
  ProgressLine progress(options.quiet);
  if (!TableCache(wanted.cache).has(OneSidedTable::cache_name(options.race_points))) {
    progress.show("computing bear-off tables, once");
  }
  return Engine(wanted);
}

Watch watched(std::function<void(std::uint64_t, std::uint64_t)> show) {
  return {&interrupted(), [show = std::move(show)](std::uint64_t done, std::uint64_t planned) {
            show(100 * done / planned, planned);
          }};
}

Watch watched(ProgressLine& line) {
  return watched([&line](std::uint64_t share, std::uint64_t planned) {
    line.show("rolled out " + std::to_string(share) + "% of " + std::to_string(planned) +
              " trials");
  });
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

Question question_of(const PositionOptions& options) {
  Question question;
  question.position = options.position;
  question.after = options.after;
  question.dice = options.dice;
  question.cube = options.cube;
  question.jacoby = options.jacoby;
  question.beavers = options.beavers;
  question.checkers = options.checkers;
  return question;
}

int for_each_question(const PositionOptions& options, const Engine& engine, const Answer& answer) {
  if (!options.requests.empty() && !(options.position.empty() && options.after.empty())) {
    throw InputError("both requests and a position", "requests", "one or the other");
  }
  const Core& core = engine.core();
  if (options.requests == "-") return answer_requests(std::cin, options, core, answer);
  if (!options.requests.empty()) {
    std::ifstream file(options.requests);
    if (!file || std::filesystem::is_directory(options.requests)) {
      throw InputError("cannot be read", "requests file " + options.requests,
                       "a file with one JSON object a line, or - for standard input");
    }
    return answer_requests(file, options, core, answer);
  }
  answer_all(question_of(options), "null", options.scores, core, answer);
  return interrupted() ? kInterrupted : kDone;
}

}  // namespace sixfold::tools
