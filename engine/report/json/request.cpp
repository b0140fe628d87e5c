#include "report/json/request.h"

#include "base/clean_text.h"
#include "report/json/field_reader.h"
#include "rollout/plan.h"
#include "rules/types.h"

namespace sixfold {
namespace {

/// A text with semicolons, or a list of texts.
std::string read_plays(const FieldReader& fields, const ReadJson& plays) {
  if (!plays.is_array()) return fields.text("plays");
  std::string all;
  for (const std::string& play :
       fields.texts("plays", [](const std::string& text) { return text; })) {
    all += (all.empty() ? "" : ";") + play;
  }
  return all;
}

void read_question(const FieldReader& fields, Request& request) {
  if (fields.has("title")) request.title = fields.text("title");
  if (fields.has("position")) request.position = fields.text("position");
  if (fields.has("after")) request.after = fields.text("after");
  if (fields.has("dice")) request.dice = fields.text("dice");
  if (fields.has("score")) request.score = fields.text("score");
  if (fields.has("cube")) request.cube = fields.text("cube");
  if (fields.has("jacoby")) request.jacoby = fields.yes_or_no("jacoby");
  if (fields.has("beavers")) request.beavers = fields.yes_or_no("beavers");
  if (fields.has("checkers")) {
    request.checkers = static_cast<int>(fields.whole_number("checkers", 1, kMaxCheckers));
  }
  if (fields.has("both_from_roller")) {
    request.both_from_roller = fields.yes_or_no("both_from_roller");
  }
  if (fields.has("facts")) request.facts = fields.yes_or_no("facts");
  if (fields.has("error")) request.error = fields.positive_number("error");
  if (fields.has("blunder")) request.blunder = fields.positive_number("blunder");
  if (fields.has("ledger")) request.ledger = fields.yes_or_no("ledger");
}

void read_rolling(const FieldReader& fields, Request& request) {
  if (fields.has("trials")) request.trials = fields.whole_number("trials", 1, kMostTrials);
  if (fields.has("half_width")) {
    request.half_width = fields.number_between("half_width", 0.0, kWidestWanted);
  }
  if (fields.has("most_trials")) {
    request.most_trials = fields.whole_number("most_trials", 1, kMostTrials);
  }
  if (fields.has("confidence")) {
    request.confidence = fields.number_between("confidence", kLeastConfidence, kMostConfidence);
  }
  if (fields.has("seed")) request.seed = fields.whole_number("seed", 0, ~std::uint64_t{0});
  if (fields.has("lookahead")) {
    request.lookahead = static_cast<int>(fields.whole_number("lookahead", 0, kMostLookahead));
  }
  if (fields.has("truncate")) {
    request.truncate = static_cast<int>(fields.whole_number("truncate", 0, kLatestTruncation));
  }
  if (fields.has("luck")) request.luck = fields.text("luck");
  if (fields.has("plain")) request.plain = fields.yes_or_no("plain");
  if (fields.has("free_dice")) request.free_dice = fields.yes_or_no("free_dice");
  if (fields.has("play_on")) request.play_on = fields.yes_or_no("play_on");
}

}  // namespace

const char* Request::trial_field() const noexcept {
  return trials        ? "trials"
         : half_width  ? "half_width"
         : most_trials ? "most_trials"
         : confidence  ? "confidence"
         : seed        ? "seed"
         : lookahead   ? "lookahead"
         : truncate    ? "truncate"
         : luck        ? "luck"
         : plain       ? "plain"
         : free_dice   ? "free_dice"
         : play_on     ? "play_on"
                       : nullptr;
}

const char* Request::play_field() const noexcept {
  return plays ? "plays" : error ? "error" : blunder ? "blunder" : ledger ? "ledger" : nullptr;
}

Request parse_request(const std::string& line, std::string& id) {
  const ReadJson json = read_object(line, "");
  if (json.contains("id")) id = json["id"].dump();
  const FieldReader fields(json, "field ");
  fields.require_known_fields({"id",
                               "title",
                               "position",
                               "after",
                               "dice",
                               "score",
                               "cube",
                               "jacoby",
                               "beavers",
                               "checkers",
                               "both_from_roller",
                               "facts",
                               "plays",
                               "error",
                               "blunder",
                               "ledger",
                               "trials",
                               "half_width",
                               "most_trials",
                               "confidence",
                               "seed",
                               "lookahead",
                               "truncate",
                               "luck",
                               "plain",
                               "free_dice",
                               "play_on"});
  Request request;
  read_question(fields, request);
  if (fields.has("plays")) request.plays = read_plays(fields, json["plays"]);
  read_rolling(fields, request);
  return request;
}

std::string plain_id(std::string_view id) {
  return id.starts_with('"') ? clean_text(ReadJson::parse(id).get<std::string>()) : std::string(id);
}

}  // namespace sixfold
