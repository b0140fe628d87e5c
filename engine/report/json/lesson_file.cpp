#include "report/json/lesson_file.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "base/input_error.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

using Json = nlohmann::json;

/// The fields of an object; every complaint names the path inside the text.
class FieldReader {
 public:
  /// `path` is that of the object, with a dot behind, or empty.
  FieldReader(const Json& object, std::string where, std::string path = "")
      : object_(object), where_(std::move(where)), path_(std::move(path)) {}

  void require_known_fields(std::initializer_list<std::string_view> known) const {
    for (const auto& [field, value] : object_.items()) {
      if (std::find(known.begin(), known.end(), field) != known.end()) continue;
      std::string names;
      for (const std::string_view name : known) {
        names += (names.empty() ? "" : ", ") + std::string(name);
      }
      fail(field, "unknown field", "one of " + names);
    }
  }
  [[nodiscard]] bool has(const char* field) const { return object_.contains(field); }

  [[nodiscard]] std::string text(const char* field) const {
    if (!object_.at(field).is_string()) fail(field, "not a text", "a text in quotes");
    return object_.at(field).get<std::string>();
  }
  [[nodiscard]] std::uint64_t whole_number(const char* field, std::uint64_t least,
                                           std::uint64_t most) const {
    const Json& value = object_.at(field);
    if (!value.is_number_unsigned() || value.get<std::uint64_t>() < least ||
        value.get<std::uint64_t>() > most) {
      fail(field, "not a whole number in range",
           std::to_string(least) + " to " + std::to_string(most));
    }
    return value.get<std::uint64_t>();
  }
  [[nodiscard]] bool yes_or_no(const char* field) const {
    if (!object_.at(field).is_boolean()) fail(field, "neither yes nor no", "true or false");
    return object_.at(field).get<bool>();
  }
  [[nodiscard]] double positive_number(const char* field) const {
    const Json& value = object_.at(field);
    if (!value.is_number() || !(value.get<double>() > 0.0)) {
      fail(field, "not a positive number", "such as 0.01");
    }
    return value.get<double>();
  }
  /// A list of distinct items, each by `read(path, entry)`.
  template <typename Read>
  [[nodiscard]] auto list(const char* field, const char* expected, Read read) const {
    if (!has(field)) fail(field, "missing", expected);
    const Json& entries = object_.at(field);
    if (!entries.is_array() || entries.empty()) fail(field, "not a list", expected);
    std::vector<decltype(read(std::string(), entries))> items;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      const std::string path = std::string(field) + "[" + std::to_string(i) + "]";
      const auto item = read(path, entries[i]);
      if (std::find(items.begin(), items.end(), item) != items.end()) {
        fail(path, "a duplicate", "each entry once");
      }
      items.push_back(item);
    }
    return items;
  }
  /// The same of texts, each by `parse`.
  template <typename Parse>
  [[nodiscard]] auto texts(const char* field, Parse parse) const {
    return list(field, "a list of texts", [&](const std::string& path, const Json& entry) {
      if (!entry.is_string()) fail(path, "not a text", "a text in quotes");
      return at(path, [&] { return parse(entry.template get<std::string>()); });
    });
  }
  /// The fields of an object inside this one.
  [[nodiscard]] FieldReader fields_of(const std::string& path, const Json& object) const {
    return {object, where_, path_ + path + "."};
  }
  /// Runs a parser and adds the path to its complaint.
  template <typename Parse>
  [[nodiscard]] auto at(const std::string& path, Parse parse) const {
    return inside(where_ + ", " + path_ + path, parse);
  }
  [[noreturn]] void fail(const std::string& path, const std::string& complaint,
                         const std::string& expected) const {
    throw InputError(complaint, where_ + ", " + path_ + path, expected);
  }

 private:
  const Json& object_;
  std::string where_;
  std::string path_;
};

Position read_position(const FieldReader& reader) {
  if (reader.has("position") == reader.has("after")) {
    reader.fail("position", "the lesson needs one position", "either position or after");
  }
  int checkers = kMaxCheckers;
  if (reader.has("checkers")) {
    checkers = static_cast<int>(reader.whole_number("checkers", 1, kMaxCheckers));
  }
  if (reader.has("position")) {
    const std::string text = reader.text("position");
    return reader.at("position", [&] { return parse_position(text, checkers); });
  }
  const std::string text = reader.text("after");
  return reader.at("after", [&] { return parse_line(text, checkers); });
}

/// An entry of the rolls: a text such as "31", or an object with the author's remarks.
Roll read_roll(const FieldReader& reader, const std::string& path, const Json& entry,
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
  constexpr std::uint64_t kMostTrials = 100'000'000;
  if (reader.has("trials")) plan.settings.trials = reader.whole_number("trials", 1, kMostTrials);
  if (reader.has("half_width")) plan.settings.half_width = reader.positive_number("half_width");
  if (reader.has("flip_trials")) {
    plan.flip_trials = reader.whole_number("flip_trials", 1, kMostTrials);
  }
  if (reader.has("seed")) plan.settings.seed = reader.whole_number("seed", 0, ~std::uint64_t{0});
}

}  // namespace

LessonPlan parse_lesson(std::string_view json, const std::string& where, const LessonPlan& defaults,
                        const MatchEquityTable& table) {
  Json lesson;
  try {
    lesson = Json::parse(json);
  } catch (const Json::parse_error& error) {
    throw InputError("not JSON at byte " + std::to_string(error.byte), where, "a JSON object");
  } catch (const Json::exception&) {
    throw InputError("a number beyond what can be read", where, "numbers up to 1e308");
  }
  if (!lesson.is_object()) throw InputError("not a lesson", where, "a JSON object");
  const FieldReader reader(lesson, where);
  reader.require_known_fields({"$schema", "title", "notes", "position", "after", "checkers",
                               "rolls", "scores", "cube", "jacoby", "beavers", "double", "flip",
                               "trials", "half_width", "flip_trials", "seed"});
  LessonPlan plan = defaults;
  if (reader.has("title")) plan.title = reader.text("title");
  if (reader.has("notes")) plan.notes = reader.text("notes");
  plan.position = read_position(reader);
  if (game_over(plan.position))
    reader.fail("position", "the game is over", "checkers on both sides");
  if (reader.has("double")) plan.doubling = reader.yes_or_no("double");
  if (reader.has("rolls") || !plan.doubling) {
    plan.rolls = reader.list("rolls", "such as [\"31\", \"64\"]",
                             [&](const std::string& path, const Json& entry) {
                               return read_roll(reader, path, entry, plan);
                             });
  }
  if (reader.has("scores")) {
    plan.scores =
        reader.texts("scores", [&](const std::string& text) { return parse_score(text, table); });
  }
  if (reader.has("cube")) {
    const std::string text = reader.text("cube");
    plan.cube = reader.at("cube", [&] { return parse_cube(text); });
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
  if (plan.doubling && !plan.cube) {
    reader.fail("double", "there is no cube to double with", "a cube, such as \"centred\"");
  }
  read_precision(reader, plan);
  return plan;
}

}  // namespace sixfold
