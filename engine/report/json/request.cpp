#include "report/json/request.h"

#include "report/json/field_reader.h"
#include "rules/types.h"

namespace sixfold {

Request parse_request(const std::string& line, std::string& id) {
  const ReadJson json = read_object(line, "");
  if (json.contains("id")) id = json["id"].dump();
  const FieldReader fields(json, "field ");
  fields.require_known_fields(
      {"id", "position", "after", "dice", "score", "cube", "jacoby", "beavers", "checkers"});
  Request request;
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
  return request;
}

}  // namespace sixfold
