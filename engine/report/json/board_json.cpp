#include "report/json/board_json.h"

#include <algorithm>
#include <array>

#include "report/json/field_reader.h"
#include "report/json/json_parts.h"
#include "report/json/object_writer.h"
#include "report/words/warnings.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// The counts of a side: borne off, points 1 to 24, the bar.
Json counts_json(const Side& side) {
  Json counts = Json::array();
  for (int location = kOff; location <= kBar; ++location) counts.push_back(side[location]);
  return counts;
}

/// Thousands of them in the widest positions, so they are written as they come.
std::string plays_json(const Position& position, Roll roll) {
  PlayList plays;
  generate_plays(position, roll, plays);
  std::string line = "[";
  for (std::size_t i = 0; i < plays.size(); ++i) {
    if (i > 0) line += ',';
    ObjectWriter play(line);
    play.text("play", play_text(position, roll, plays[i]));
    play.text("result", position_text(position_after(position, plays[i])));
    play.end();
  }
  return line + "]";
}

}  // namespace

std::string board_state_json(const BoardState& state) {
  return line_of({{"version", state.made_by.version},
                  {"net", state.made_by.net},
                  {"queue", state.has_queue},
                  {"match", state.has_match}});
}

std::string look_json(const Position& position, const std::optional<Roll>& roll,
                      const CallersName& name) {
  Json json;
  json["id"] = Json::parse(name.id);
  json["position"] = position_text(position);
  json["roller"] = counts_json(position.roller);
  json["opponent"] = counts_json(position.opponent);
  json["pips"] = {position.roller.pips(), position.opponent.pips()};
  json["warnings"] = position_warnings(position);
  if (roll) json["dice"] = roll_text(*roll);
  std::string line = line_of(json);
  if (roll && !game_over(position)) {
    ObjectWriter look = ObjectWriter::reopened(line);
    look.json("plays", plays_json(position, *roll));
    look.end();
  }
  return line;
}

AskedWork parse_work(std::string_view text, std::string& id) {
  ReadJson json = read_object(text, "");
  if (json.contains("id")) id = json["id"].dump();
  const FieldReader fields(json, "field ");
  if (!fields.has("kind")) fields.fail("kind", "missing", "rollout, cube, flip or lesson");
  AskedWork asked{fields.text("kind"), ""};
  constexpr std::array kKinds{"rollout", "cube", "flip", "lesson"};
  if (std::find(kKinds.begin(), kKinds.end(), asked.kind) == kKinds.end()) {
    fields.fail("kind", "'" + asked.kind + "' is no kind of work", "rollout, cube, flip or lesson");
  }
  if (asked.kind == "lesson") {
    fields.require_known_fields({"id", "kind", "lesson"});
    if (!fields.has("lesson")) fields.fail("lesson", "missing", "a lesson, as its file has it");
    asked.input = json["lesson"].dump();
  } else {
    json.erase("kind");
    asked.input = json.dump();
  }
  return asked;
}

std::string work_json(std::uint64_t work) { return line_of({{"work", work}}); }

AskedEntry parse_entry(std::string_view text) {
  const ReadJson json = read_object(text, "");
  const FieldReader fields(json, "field ");
  fields.require_known_fields({"lesson", "request", "priority"});
  AskedEntry asked;
  asked.is_lesson = fields.has("lesson");
  if (asked.is_lesson == fields.has("request")) {
    fields.fail("lesson", "one thing at a time is put in", "a lesson or a request");
  }
  asked.input = json[asked.is_lesson ? "lesson" : "request"].dump();
  if (fields.has("priority")) {
    constexpr int kMost = 1'000'000;
    const ReadJson& priority = json["priority"];
    if (!priority.is_number_integer() || priority > kMost || priority < -kMost) {
      fields.fail("priority", "not a whole number in range", format("{} to {}", -kMost, kMost));
    }
    asked.priority = priority.get<int>();
  }
  return asked;
}

std::string entries_json(const std::vector<std::int64_t>& entries) {
  return line_of({{"entries", entries}});
}

std::string queue_list_json(const std::vector<std::string>& lines) {
  std::string list;
  ObjectWriter json(list);
  json.list("entries", lines, [](std::string& line, const std::string& entry) { line += entry; });
  json.end();
  return list;
}

std::string news_json(const WorkNews& news) {
  Json json;
  json["what"] = news.what;
  json["part"] = news.part;
  json["parts"] = news.parts;
  json["percent"] = news.percent;
  json["trials"] = news.trials;
  json["half_width"] = news.half_width ? Json(*news.half_width) : Json();
  std::string line = line_of(json);
  ObjectWriter written = ObjectWriter::reopened(line);
  written.json("answer", news.answer.empty() ? "null" : news.answer);
  written.end();
  return line;
}

std::string lesson_done_json(std::string_view lesson) {
  std::string line;
  ObjectWriter json(line);
  json.json("json", lesson);
  json.end();
  return line;
}

}  // namespace sixfold
