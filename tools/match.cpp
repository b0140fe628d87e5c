#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>

#include "base/input_error.h"
#include "record/read.h"
#include "report/json/json_report.h"
#include "report/tables/csv.h"
#include "report/text/review_text.h"
#include "tools/commands.h"
#include "tools/places.h"
#include "tools/questions.h"

namespace sixfold::tools {
namespace {

std::string text_of(const std::string& file) {
  if (file == "-") return {std::istreambuf_iterator<char>(std::cin), {}};
  std::ifstream in(file, std::ios::binary);
  if (!in || std::filesystem::is_directory(file)) {
    throw InputError("cannot be read", "match file " + file,
                     "a recorded match, or - for standard input");
  }
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

int run_match(const MatchOptions& options) {
  Output output(options.common);
  const std::string name = options.file == "-" ? "standard input" : options.file;
  const ReadMatch read = read_record(text_of(options.file));
  for (const std::string& each : read.notes) note(name + ", " + each);
  for (const std::string& each : read.complaints) note(name + ", " + each);
  if (read.match.games.empty()) {
    throw InputError("no game could be read", name, "a recorded match");
  }
  Engine engine = engine_of(options.common);
  const MatchReview review = engine.core().review(read.match, &interrupted());
  for (const std::string& each : review.complaints) note(name + ", " + each);
  const Provenance& made_by = engine.core().provenance();
  output.add([&] { return review_json(review, made_by); },
             [&] { return review_csv(review, made_by); },
             [&] { return review_text(review, made_by); });
  if (interrupted()) return kInterrupted;
  return read.complaints.empty() && review.complaints.empty() ? kDone : kBadInput;
}

}  // namespace sixfold::tools
