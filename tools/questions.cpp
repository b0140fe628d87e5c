#include "tools/questions.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <utility>

#include "base/bounded_reading.h"
#include "base/input_error.h"
#include "base/text_reader.h"
#include "exact/one_sided.h"
#include "record/read.h"
#include "report/json/json_report.h"
#include "report/json/request.h"
#include "report/words/warnings.h"
#include "tools/places.h"

namespace sixfold::tools {
namespace {

/// What a command has no use for is refused in a request as among its options.
void require_use(const Request& request, const PositionOptions& options) {
  const auto refuse = [](const char* field, const char* complaint, const char* expected) {
    throw InputError(complaint, std::string("field ") + field, expected);
  };
  const char* const of_plays = request.play_field();
  if (!options.takes_plays && of_plays != nullptr) {
    refuse(of_plays, "this command rolls no plays out", "it with rollout only");
  }
  const char* const of_trials = request.trial_field();
  if (!options.takes_trials && of_trials != nullptr) {
    refuse(of_trials, "this command rolls nothing out", "it with cube and rollout only");
  }
  if (options.takes_trials && request.facts) {
    refuse("facts", "this command tells none", "it with evaluate only");
  }
}

/// What a request says of its rollout; the rest stays.
void read_rolling(const Request& request, Rolling& rolling) {
  const auto read = [](const auto& said, auto& value) {
    if (said) value = *said;
  };
  read(request.trials, rolling.trials);
  read(request.half_width, rolling.half_width);
  read(request.most_trials, rolling.most_trials);
  read(request.confidence, rolling.confidence);
  read(request.seed, rolling.seed);
  read(request.lookahead, rolling.lookahead);
  read(request.truncate, rolling.truncate);
  read(request.luck, rolling.luck);
  read(request.plain, rolling.plain);
  read(request.free_dice, rolling.free_dice);
  read(request.play_on, rolling.play_on);
  if (request.error) rolling.error = request.error;
  if (request.blunder) rolling.blunder = request.blunder;
}

int answer_requests(std::istream& in, const PositionOptions& options, const Rolling& rolling,
                    const Core& core, const Answer& answer) {
  LineReader lines(in, "requests");
  int requests = 0;
  int failed = 0;
  while (!interrupted() && lines.next()) {
    const std::string& line = lines.line();
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    ++requests;
    const int number = lines.number();
    const std::string where = "requests line " + std::to_string(number);
    std::string id = "null";
    try {
      lines.require_whole();
      const Request request = parse_request(line, id);
      Asked asked = asked_by(request, options, rolling);
      asked.id = id;
      for (const Asked& each :
           at_scores(asked, request.score.value_or(options.scores), core.match_table())) {
        if (!interrupted()) answer(each);
      }
    } catch (const InputError& error) {
      const std::string complaint = where + ": " + error.what();
      if (options.csv) {
        note(complaint);
      } else {
        print(error_json(id, complaint, number) + "\n");
      }
      ++failed;
    }
  }
  if (failed > 0) {
    note(std::to_string(failed) + " of " + std::to_string(requests) +
         (requests == 1 ? " request has no answer" : " requests have no answer"));
  }
  return interrupted() ? kInterrupted : failed > 0 ? kBadInput : kDone;
}

}  // namespace

Engine engine_of(const PositionOptions& options, int threads) {
  EngineOptions wanted;
  wanted.net = options.net.empty() ? shipped_net() : std::filesystem::path(options.net);
  wanted.opponent_net = options.opponent_net;
  wanted.match_table = options.match_table;
  wanted.cache = cache_directory(options.cache);
  wanted.threads = threads;
  wanted.instruction_set = options.instruction_set;
  wanted.race_points = options.race_points;
  wanted.note = note;
  ProgressLine progress(options.quiet);
  if (!TableCache(wanted.cache).has(OneSidedTable::cache_name(options.race_points))) {
    progress.show("computing bear-off tables, once: they are kept");
  }
  Engine engine = [&] {
    const AtOnce at_once;
    return Engine(wanted);
  }();
  if (options.prepare) options.prepare(engine.core());
  return engine;
}

Files files_of(const PositionOptions& options) {
  return Files()
      .reads(options.net.empty() ? shipped_net().string() : options.net)
      .reads(options.match_table)
      .reads(options.opponent_net)
      .reads(options.requests);
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

LessonPlan usual_lesson(const Core& core, const Rolling& rolling) {
  LessonPlan plan;
  plan.scores = parse_scores("money,dmp,gammon-go,gammon-save", core.match_table());
  plan.settings = core.settings(rolling);
  return plan;
}

Question question_of(const PositionOptions& options) {
  Question question;
  question.position = options.position;
  question.after = options.after;
  question.dice = options.dice;
  question.cube = options.cube;
  question.jacoby = options.jacoby;
  question.beavers = options.beavers;
  question.plays = options.plays;
  question.checkers = options.checkers;
  question.both_from_roller = options.both_from_roller;
  return question;
}

Asked asked_by(const Request& request, const PositionOptions& options, const Rolling& rolling) {
  require_use(request, options);
  Asked asked{question_of(options), rolling};
  asked.is_request = true;
  asked.asks_for_trials = request.trial_field() != nullptr;
  asked.facts = request.facts.value_or(options.facts);
  asked.ledger = request.ledger.value_or(options.ledger);
  asked.title = request.title;
  Question& question = asked.question;
  question.position = request.position;
  question.after = request.after;
  question.dice = request.dice.value_or(options.dice);
  question.plays = request.plays.value_or(options.plays);
  question.cube = request.cube.value_or(options.cube);
  question.jacoby = request.jacoby.value_or(options.jacoby);
  question.beavers = request.beavers.value_or(options.beavers);
  question.checkers = request.checkers.value_or(options.checkers);
  question.both_from_roller = request.both_from_roller.value_or(options.both_from_roller);
  read_rolling(request, asked.rolling);
  return asked;
}

PositionOptions request_options(bool is_double) {
  PositionOptions options;
  options.takes_trials = true;
  options.takes_plays = !is_double;
  if (is_double) options.cube = "centred";
  return options;
}

std::vector<Asked> at_scores(const Asked& asked, const std::string& scores,
                             const MatchEquityTable& table) {
  std::vector<Asked> all;
  for (const Score& score : parse_scores(scores, table)) {
    all.push_back(asked);
    all.back().question.score = score.name;
  }
  return all;
}

std::vector<Asked> asked_in(const std::string& line, const PositionOptions& options,
                            const Rolling& rolling, const MatchEquityTable& table,
                            std::string& id) {
  const Request request = parse_request(line, id);
  Asked asked = asked_by(request, options, rolling);
  asked.id = id;
  return at_scores(asked, request.score.value_or(options.scores), table);
}

MatchReview reviewed_match(Core& core, std::string_view text, const std::string& name,
                           const std::atomic<bool>* stop, std::vector<std::string>& notes) {
  const ReadMatch read = read_record(text);
  notes = read.notes;
  if (read.match.games.empty()) {
    throw InputError(read.complaints.empty() ? "no game could be read" : read.complaints.front(),
                     name, "a recorded match, SGF or plain text");
  }
  MatchReview review = core.review(read.match, stop);
  review.complaints.insert(review.complaints.begin(), read.complaints.begin(),
                           read.complaints.end());
  return review;
}

std::string Asked::words() const {
  return question.dice.empty() ? question.score : question.dice + " at " + question.score;
}

void warn_of(const Position& position) {
  for (const std::string& warning : position_warnings(position)) note("warning: " + warning);
}

Output::Output(const PositionOptions& options)
    : form_(options.csv                                                          ? Form::kCsv
            : options.json || options.distributions || !options.requests.empty() ? Form::kJson
                                                                                 : Form::kText) {
  if (options.csv && options.json) throw InputError("two forms at once", "--csv", "it or --json");
}

void Output::add(const std::function<std::string()>& json, const std::function<Csv()>& csv,
                 const std::function<std::string()>& text) {
  if (form_ == Form::kJson) print(json() + "\n");
  if (form_ == Form::kText) print((is_first_ ? "" : "\n") + text());
  if (form_ == Form::kCsv) {
    const Csv table = csv();
    print((is_first_ ? table.heading : "") + table.lines);
  }
  is_first_ = false;
}

void Output::add_none(const Asked& asked, const std::string& reason) {
  if (form_ == Form::kJson) {
    print(error_json(asked.id, reason) + "\n");
  } else {
    note(reason);
  }
}

int for_each_question(const PositionOptions& options, const Rolling& rolling, const Engine& engine,
                      const Answer& answer) {
  if (!options.requests.empty() && !(options.position.empty() && options.after.empty())) {
    throw InputError("both requests and a position", "requests", "one or the other");
  }
  const Core& core = engine.core();
  if (options.requests == "-") return answer_requests(std::cin, options, rolling, core, answer);
  if (!options.requests.empty()) {
    std::ifstream file(options.requests);
    if (!file || std::filesystem::is_directory(options.requests)) {
      throw InputError("cannot be read", "requests file " + options.requests,
                       "a file with one JSON object a line, or - for standard input");
    }
    return answer_requests(file, options, rolling, core, answer);
  }
  Asked asked{question_of(options), rolling};
  asked.facts = options.facts;
  asked.ledger = options.ledger;
  warn_of(asked_position(asked.question));
  for (const Asked& each : at_scores(asked, options.scores, core.match_table())) {
    if (!interrupted()) answer(each);
  }
  return interrupted() ? kInterrupted : kDone;
}

}  // namespace sixfold::tools
