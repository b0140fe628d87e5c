#include "report/json/lesson_file.h"

#include <algorithm>

#include "base/input_error.h"
#include "report/json/field_reader.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

Position read_position(const FieldReader& reader) {
  if (reader.has("position") == reader.has("after")) {
    reader.fail("position", "the lesson needs one position", "either position or after");
  }
  int checkers = kMaxCheckers;
  if (reader.has("checkers")) {
    checkers = static_cast<int>(reader.whole_number("checkers", 1, kMaxCheckers));
  }
  const bool from_roller = reader.has("both_from_roller") && reader.yes_or_no("both_from_roller");
  if (reader.has("position")) {
    const std::string text = reader.text("position");
    return reader.at("position", [&] {
      return parse_position(text, checkers, from_roller ? Numbering::kRollers : Numbering::kOwn);
    });
  }
  if (from_roller) {
    reader.fail("both_from_roller", "a line of plays has each side's own numbers", "a position");
  }
  const std::string text = reader.text("after");
  return reader.at("after", [&] { return parse_line(text, checkers); });
}

/// An entry of the rolls: a text such as "31", or an object with the author's remarks.
Roll read_roll(const FieldReader& reader, const std::string& path, const ReadJson& entry,
               LessonPlan& plan) {
  if (entry.is_string()) {
    return reader.at(path, [&] { return parse_roll(entry.get<std::string>()); });
  }
  if (!entry.is_object()) reader.fail(path, "not a roll", "such as \"31\" or {\"dice\": \"31\"}");
  const FieldReader fields = reader.fields_of(path, entry);
  fields.require_known_fields({"dice", "plays", "notes"});
  if (!fields.has("dice")) fields.fail("dice", "missing", "a roll such as \"31\"");
  RollRemarks remarks;
  const std::string dice = fields.text("dice");
  remarks.roll = fields.at("dice", [&] { return parse_roll(dice); });
  if (fields.has("plays")) {
    remarks.plays = fields.texts("plays", [&](const std::string& text) {
      return parse_play(plan.position, remarks.roll, text);
    });
  }
  if (fields.has("notes")) remarks.notes = fields.text("notes");
  plan.remarks.push_back(remarks);
  return remarks.roll;
}

void read_precision(const FieldReader& reader, LessonPlan& plan) {
  const auto trials = [&](const char* field, std::uint64_t& value) {
    if (reader.has(field)) value = reader.whole_number(field, 1, kMostTrials);
  };
  trials("trials", plan.settings.trials);
  trials("most_trials", plan.settings.most_trials);
  trials("flip_trials", plan.flip_trials);
  if (reader.has("half_width"))
    plan.settings.half_width = reader.number_between("half_width", 0.0, kWidestWanted);
  if (reader.has("confidence")) {
    plan.settings.confidence =
        reader.number_between("confidence", kLeastConfidence, kMostConfidence);
  }
  if (reader.has("seed")) plan.settings.seed = reader.whole_number("seed", 0, ~std::uint64_t{0});
  if (reader.has("error")) plan.grades.error = reader.positive_number("error");
  if (reader.has("blunder")) plan.grades.blunder = reader.positive_number("blunder");
}

}  // namespace

LessonPlan parse_lesson(std::string_view json, const std::string& where, const LessonPlan& defaults,
                        const MatchEquityTable& table) {
  const ReadJson lesson = read_object(json, where);
  const FieldReader reader(lesson, where + ", ");
  reader.require_known_fields(
      {"$schema",          "title", "notes",  "position",   "after",       "checkers",
       "both_from_roller", "rolls", "scores", "cube",       "jacoby",      "beavers",
       "double",           "flip",  "trials", "half_width", "most_trials", "confidence",
       "flip_trials",      "seed",  "error",  "blunder"});
  LessonPlan plan = defaults;
  if (reader.has("title")) plan.title = reader.text("title");
  if (reader.has("notes")) plan.notes = reader.text("notes");
  plan.position = read_position(reader);
  if (game_over(plan.position))
    reader.fail("position", "the game is over", "checkers on both sides");
  if (reader.has("double")) plan.doubling = reader.yes_or_no("double");
  if (reader.has("rolls") || !plan.doubling) {
    plan.rolls = reader.list("rolls", "such as [\"31\", \"64\"]",
                             [&](const std::string& path, const ReadJson& entry) {
                               return read_roll(reader, path, entry, plan);
                             });
  }
  if (reader.has("scores")) {
    plan.scores =
        reader.texts("scores", [&](const std::string& text) { return parse_score(text, table); });
  }
  if (reader.has("cube")) {
    const std::string text = reader.text("cube");
    plan.cube = reader.at("cube", [&] { return AskedCube(parse_cube_or_none(text)); });
  }
  if (reader.has("jacoby")) plan.money.jacoby = reader.yes_or_no("jacoby");
  if (reader.has("beavers")) plan.money.beavers = reader.yes_or_no("beavers");
  if (reader.has("flip")) {
    plan.flips = reader.texts("flip", [&](const std::string& text) {
      const Roll roll = parse_roll(text);
      if (std::find(plan.rolls.begin(), plan.rolls.end(), roll) == plan.rolls.end()) {
        throw InputError("not a roll of the lesson", text, "one of its rolls");
      }
      return roll;
    });
  }
  if (plan.doubling && plan.cube.is_left_out()) {
    reader.fail("double", "there is no cube to double with", "a cube, such as \"centred\"");
  }
  read_precision(reader, plan);
  return plan;
}

}  // namespace sixfold
