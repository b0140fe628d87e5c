#include "study/lesson.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "rules/input_error.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

using Json = nlohmann::json;

/// The fields of one lesson object; every complaint names the path inside the text.
class LessonReader {
 public:
  LessonReader(const Json& lesson, std::string where) : lesson_(lesson), where_(std::move(where)) {}

  void require_known_fields(std::initializer_list<std::string_view> known) const {
    for (const auto& [field, value] : lesson_.items()) {
      if (std::find(known.begin(), known.end(), field) != known.end()) continue;
      std::string names;
      for (const std::string_view name : known) {
        names += (names.empty() ? "" : ", ") + std::string(name);
      }
      fail(field, "unknown field", "one of " + names);
    }
  }
  [[nodiscard]] bool has(const char* field) const { return lesson_.contains(field); }

  [[nodiscard]] std::string text(const char* field) const {
    if (!lesson_.at(field).is_string()) fail(field, "not a text", "a text in quotes");
    return lesson_.at(field).get<std::string>();
  }
  [[nodiscard]] std::uint64_t whole_number(const char* field, std::uint64_t least,
                                           std::uint64_t most) const {
    const Json& value = lesson_.at(field);
    if (!value.is_number_unsigned() || value.get<std::uint64_t>() < least ||
        value.get<std::uint64_t>() > most) {
      fail(field, "not a whole number in range",
           std::to_string(least) + " to " + std::to_string(most));
    }
    return value.get<std::uint64_t>();
  }
  [[nodiscard]] bool yes_or_no(const char* field) const {
    if (!lesson_.at(field).is_boolean()) fail(field, "neither yes nor no", "true or false");
    return lesson_.at(field).get<bool>();
  }
  [[nodiscard]] double positive_number(const char* field) const {
    const Json& value = lesson_.at(field);
    if (!value.is_number() || !(value.get<double>() > 0.0)) {
      fail(field, "not a positive number", "such as 0.01");
    }
    return value.get<double>();
  }
  /// A list of distinct texts, each read by `parse`.
  template <typename Parse>
  [[nodiscard]] auto list(const char* field, Parse parse) const {
    const Json& values = lesson_.at(field);
    if (!values.is_array() || values.empty()) fail(field, "not a list", "a list of texts");
    std::vector<decltype(parse(std::string()))> items;
    for (std::size_t i = 0; i < values.size(); ++i) {
      const std::string path = std::string(field) + "[" + std::to_string(i) + "]";
      if (!values[i].is_string()) fail(path, "not a text", "a text in quotes");
      const auto item = at(path, [&] { return parse(values[i].template get<std::string>()); });
      if (std::find(items.begin(), items.end(), item) != items.end()) {
        fail(path, "a duplicate", "each entry once");
      }
      items.push_back(item);
    }
    return items;
  }
  /// Runs a parser and adds the path to its complaint.
  template <typename Parse>
  [[nodiscard]] auto at(const std::string& path, Parse parse) const {
    return inside(where_ + ", " + path, parse);
  }
  [[noreturn]] void fail(const std::string& path, const std::string& complaint,
                         const std::string& expected) const {
    throw InputError(complaint, where_ + ", " + path, expected);
  }

 private:
  const Json& lesson_;
  std::string where_;
};

Position read_position(const LessonReader& reader) {
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

}  // namespace

LessonPlan parse_lesson(std::string_view json, const std::string& where, const LessonPlan& defaults,
                        const MatchEquityTable& table) {
  Json lesson;
  try {
    lesson = Json::parse(json);
  } catch (const Json::parse_error& error) {
    throw InputError("not JSON at byte " + std::to_string(error.byte), where, "a JSON object");
  }
  if (!lesson.is_object()) throw InputError("not a lesson", where, "a JSON object");
  const LessonReader reader(lesson, where);
  reader.require_known_fields({"title", "notes", "position", "after", "checkers", "rolls", "scores",
                               "cube", "jacoby", "beavers", "flip", "trials", "half_width",
                               "seed"});
  LessonPlan plan = defaults;
  if (reader.has("title")) plan.title = reader.text("title");
  if (reader.has("notes")) plan.notes = reader.text("notes");
  plan.position = read_position(reader);
  if (game_over(plan.position))
    reader.fail("position", "the game is over", "checkers on both sides");
  if (!reader.has("rolls"))
    reader.fail("rolls", "the lesson has no rolls", "such as [\"31\", \"64\"]");
  plan.rolls = reader.list("rolls", [](const std::string& text) { return parse_roll(text); });
  if (reader.has("scores")) {
    plan.scores =
        reader.list("scores", [&](const std::string& text) { return parse_score(text, table); });
  }
  if (reader.has("cube")) {
    const std::string text = reader.text("cube");
    plan.cube = reader.at("cube", [&] { return parse_cube(text); });
  }
  if (reader.has("jacoby")) plan.money.jacoby = reader.yes_or_no("jacoby");
  if (reader.has("beavers")) plan.money.beavers = reader.yes_or_no("beavers");
  if (reader.has("flip")) {
    plan.flips = reader.list("flip", [&](const std::string& text) {
      const Roll roll = parse_roll(text);
      if (std::find(plan.rolls.begin(), plan.rolls.end(), roll) == plan.rolls.end()) {
        throw InputError("not a roll of the lesson", text, "one of its rolls");
      }
      return roll;
    });
  }
  constexpr std::uint64_t kMostTrials = 100'000'000;
  if (reader.has("trials")) plan.settings.trials = reader.whole_number("trials", 1, kMostTrials);
  if (reader.has("half_width")) plan.settings.half_width = reader.positive_number("half_width");
  if (reader.has("seed")) plan.settings.seed = reader.whole_number("seed", 0, ~std::uint64_t{0});
  return plan;
}

std::vector<PlayKey> contested_plays(const Lesson& lesson, Roll roll) {
  constexpr std::size_t kMost = 6;
  std::vector<PlayKey> plays;
  // The best everywhere first, then the seconds, and so on, as far as there is room.
  for (std::size_t rank = 0; plays.size() < kMost; ++rank) {
    bool any = false;
    for (const RolledDecision& cell : lesson.cells) {
      const std::vector<RolledPlay>& rolled = cell.result.plays;
      if (*cell.decision.roll != roll || rank >= rolled.size()) continue;
      const Estimate& cost = rolled[rank].cost;
      if (rank > 1 && cost.mean - cost.half_width > lesson.plan.thresholds.error) continue;
      any = true;
      const bool is_new = std::find(plays.begin(), plays.end(), rolled[rank].play) == plays.end();
      if (is_new && plays.size() < kMost) plays.push_back(rolled[rank].play);
    }
    if (!any) break;
  }
  return plays;
}

Lesson make_lesson(const EvaluatorFor& evaluator_for, const std::string& net,
                   const LessonPlan& plan, const std::function<void(std::size_t)>& cell_started,
                   const std::function<double()>& seconds, const ExactTables& tables) {
  // Scores that the cube does not fit are refused before any work.
  const auto decision_at = [&](Roll roll, const Score& score) {
    Decision decision{"null", plan.position, roll, score, plan.cube};
    if (!score.match) decision.money = plan.money;
    return decision;
  };
  for (const Score& score : plan.scores) {
    static_cast<void>(cube_rules(decision_at(plan.rolls.front(), score), tables));
  }
  Lesson lesson{plan, net, {}, {}};
  for (const Roll roll : plan.rolls) {
    for (const Score& score : plan.scores) {
      cell_started(lesson.cells.size());
      const Decision decision = decision_at(roll, score);
      RolledDecision cell = roll_out_decision(evaluator_for(decision), net, decision, plan.settings,
                                              plan.thresholds, tables);
      if (cell.result.plays.empty()) return lesson;
      cell.seconds = seconds();
      cell.ledgers = true;
      lesson.cells.push_back(std::move(cell));
      if (lesson.cells.back().result.interrupted) return lesson;
    }
    if (std::find(plan.flips.begin(), plan.flips.end(), roll) == plan.flips.end()) continue;
    const std::vector<PlayKey> plays = contested_plays(lesson, roll);
    if (plays.size() < 2) continue;
    RolloutSettings settings = plan.settings;
    settings.trials = plan.flip_trials;
    const Evaluator& evaluator = evaluator_for(decision_at(roll, plan.scores.front()));
    auto flip = study_flip(evaluator, net, plan.position, roll, settings, plays);
    if (!flip) return lesson;
    flip->seconds = seconds();
    lesson.flips.push_back(std::move(*flip));
  }
  return lesson;
}

}  // namespace sixfold
