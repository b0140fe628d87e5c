#include "tools/queue/jobs.h"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <utility>

#include "base/bounded_reading.h"
#include "base/clean_text.h"
#include "base/input_error.h"
#include "report/json/lesson_file.h"
#include "report/json/request.h"
#include "rules/game_result.h"
#include "rules/notation.h"

namespace sixfold::tools {
namespace {

ReadEntry read_request(const Entry& entry, const Core& core) {
  std::string id = "null";
  const Request request = parse_request(entry.input, id);
  const PositionOptions options = request_options(!request.dice);
  Asked asked = asked_by(request, options, {});
  asked.id = id;
  ReadEntry read;
  read.asked = at_scores(asked, request.score.value_or(options.scores), core.match_table());
  for (const Asked& each : read.asked) {
    const Decision decision = core.decision(each.question);
    if (!decision.roll && !decision.cube) {
      throw InputError("there is no cube to double with, and no roll to play", "cube",
                       "centred, roller:V or opponent:V, or dice such as 64");
    }
    require_answer(decision);
    read.job.questions.push_back({decision,
                                  core.settings(each.rolling),
                                  {each.rolling.error, each.rolling.blunder},
                                  wanted_plays(decision, each.question.plays)});
  }
  return read;
}

ReadEntry read_lesson(const Entry& entry, const Core& core) {
  ReadEntry read;
  read.job.lesson =
      parse_lesson(entry.input, entry.source, usual_lesson(core, {}), core.match_table());
  read.job.questions = questions_of(*read.job.lesson);
  for (const RolloutQuestion& question : read.job.questions) require_answer(question.decision);
  return read;
}

/// "64 after 31: 8/5 6/5", of a request without a title.
std::string usual_title(const Question& question) {
  const std::string where =
      question.after.empty() ? ": " + question.position : " after " + question.after;
  return (question.dice.empty() ? "double" : question.dice) + where;
}

std::vector<NewEntry> requests_of(std::istream& in, const std::string& name, int priority,
                                  const Core& core, std::vector<std::string>& complaints) {
  std::vector<NewEntry> entries;
  LineReader lines(in, name);
  while (lines.next()) {
    const std::string& line = lines.line();
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    const std::string source = name + " line " + std::to_string(lines.number());
    try {
      lines.require_whole();
      entries.push_back(
          new_entry({0, Entry::Kind::kRequest, "", source, line, priority, {}}, core));
    } catch (const InputError& error) {
      complaints.push_back(source + ": " + error.what());
    }
  }
  return entries;
}

}  // namespace

void require_answer(const Decision& decision) {
  if (game_over(decision.position)) {
    throw InputError("the game is over", "position", "checkers on both sides");
  }
  static_cast<void>(cube_rules(decision, {}));
}

ReadEntry read_entry(const Entry& entry, const Core& core) {
  return entry.kind == Entry::Kind::kLesson ? read_lesson(entry, core) : read_request(entry, core);
}

NewEntry new_entry(Entry entry, const Core& core) {
  const ReadEntry read = read_entry(entry, core);
  if (read.job.lesson) entry.title = read.job.lesson->title;
  if (!read.asked.empty()) {
    entry.title = read.asked.front().title;
    if (entry.title.empty()) entry.title = usual_title(read.asked.front().question);
  }
  if (entry.title.empty()) entry.title = clean_line(entry.source);
  return {std::move(entry), parts_of(read.job)};
}

std::vector<NewEntry> entries_of(const std::string& input, int priority, const Core& core,
                                 std::vector<std::string>& complaints) {
  if (input == "-") return requests_of(std::cin, "standard input", priority, core, complaints);
  const std::filesystem::path path(input);
  const bool is_lesson = path.extension() == ".json";
  if (!is_lesson && path.extension() != ".jsonl") {
    throw InputError("is neither a lesson nor requests", input,
                     "a file ending in .json or .jsonl, or - for requests on standard input");
  }
  std::ifstream file(path);
  if (!file || std::filesystem::is_directory(path)) {
    throw InputError("cannot be read", input, "a file with a lesson or requests");
  }
  if (!is_lesson) return requests_of(file, input, priority, core, complaints);
  const std::string text = read_text(file, input);
  std::vector<NewEntry> entries;
  entries.push_back(new_entry({0, Entry::Kind::kLesson, "", input, text, priority, {}}, core));
  return entries;
}

}  // namespace sixfold::tools
