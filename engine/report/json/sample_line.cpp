#include "report/json/sample_line.h"

#include "report/json/field_reader.h"
#include "report/json/object_writer.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

constexpr const char* kSampleForm = "sixfold.sample/1";

}  // namespace

std::string sample_json(const SampledPosition& sampled) {
  std::string line;
  ObjectWriter object(line);
  object.text("schema", kSampleForm);
  object.text("position", position_text(sampled.position));
  object.outcomes(sampled.outcomes);
  if (sampled.standard_errors) {
    object.outcomes(OutcomeDistribution{*sampled.standard_errors}, "standard_errors");
  }
  object.text("end", kOutcomeFields[static_cast<std::size_t>(sampled.end)]);
  object.end();
  return line;
}

Position parse_sampled_position(const std::string& line, int checkers) {
  const ReadJson json = read_object(line, "");
  const FieldReader fields(json, "field ");
  fields.require_known_fields({"schema", "position", "outcomes", "standard_errors", "end"});
  if (fields.has("schema") && fields.text("schema") != kSampleForm) {
    fields.fail("schema", "another form, '" + fields.text("schema") + "'", kSampleForm);
  }
  if (!fields.has("position")) fields.fail("position", "missing", "such as \"6x2 / 24 3\"");
  return fields.at("position", [&] { return parse_position(fields.text("position"), checkers); });
}

}  // namespace sixfold
