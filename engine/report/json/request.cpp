#include "report/json/request.h"

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

}  // namespace

Request parse_request(const std::string& line, std::string& id) {
  const ReadJson json = read_object(line, "");
  if (json.contains("id")) id = json["id"].dump();
  const FieldReader fields(json, "field ");
  fields.require_known_fields({"id", "title", "position", "after", "dice", "plays", "score", "cube",
                               "jacoby", "beavers", "checkers", "both_from_roller", "trials",
                               "half_width", "most_trials", "seed"});
  Request request;
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
  if (fields.has("plays")) request.plays = read_plays(fields, json["plays"]);
  if (fields.has("trials")) request.trials = fields.whole_number("trials", 1, kMostTrials);
  if (fields.has("half_width")) {
    request.half_width = fields.number_between("half_width", 0.0, kWidestWanted);
  }
  if (fields.has("most_trials")) {
    request.most_trials = fields.whole_number("most_trials", 1, kMostTrials);
  }
  if (fields.has("seed")) request.seed = fields.whole_number("seed", 0, ~std::uint64_t{0});
  return request;
}

}  // namespace sixfold
