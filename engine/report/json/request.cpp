#include "report/json/request.h"

#include <nlohmann/json.hpp>

#include "base/input_error.h"

namespace sixfold {
namespace {

using Json = nlohmann::json;

std::string text_field(const Json& value, const std::string& field) {
  if (!value.is_string()) throw InputError("not a text", "field " + field, "a text in quotes");
  return value.get<std::string>();
}

bool yes_or_no_field(const Json& value, const std::string& field) {
  if (!value.is_boolean())
    throw InputError("neither yes nor no", "field " + field, "true or false");
  return value.get<bool>();
}

}  // namespace

Request parse_request(const std::string& line, std::string& id) {
  Json json;
  try {
    json = Json::parse(line);
  } catch (const Json::parse_error& error) {
    throw InputError("not JSON at byte " + std::to_string(error.byte), "", "one JSON object");
  }
  if (!json.is_object()) throw InputError("not an object", "", "one JSON object");
  if (json.contains("id")) id = json["id"].dump();
  Request request;
  for (const auto& [field, value] : json.items()) {
    if (field == "id") continue;
    if (field == "position") {
      request.position = text_field(value, field);
    } else if (field == "after") {
      request.after = text_field(value, field);
    } else if (field == "dice") {
      request.dice = text_field(value, field);
    } else if (field == "score") {
      request.score = text_field(value, field);
    } else if (field == "cube") {
      request.cube = text_field(value, field);
    } else if (field == "jacoby") {
      request.jacoby = yes_or_no_field(value, field);
    } else if (field == "beavers") {
      request.beavers = yes_or_no_field(value, field);
    } else if (field == "checkers") {
      if (!value.is_number_integer() || value.get<double>() < 1 || value.get<double>() > 15) {
        throw InputError("not a number of checkers", "field checkers", "1 to 15");
      }
      request.checkers = value.get<int>();
    } else {
      throw InputError("unknown field", "field " + field,
                       "id, position, after, dice, score, cube, jacoby, beavers or checkers");
    }
  }
  return request;
}

}  // namespace sixfold
