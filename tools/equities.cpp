#include "base/input_error.h"
#include "equity/match_table_file.h"
#include "report/json/json_report.h"
#include "report/text/score_text.h"
#include "tools/commands.h"
#include "tools/questions.h"

namespace sixfold::tools {

int run_equities(const EquitiesOptions& options) {
  if (options.scores.empty() && options.json) {
    throw InputError("the whole table is not told as JSON", "--json", "--csv, or --score too");
  }
  if (!options.scores.empty() && options.csv) {
    throw InputError("single scores are not told as CSV", "--csv", "--json, or no --score");
  }
  const MatchEquityTable table =
      options.table.empty() ? own_match_equities() : load_match_table(options.table);
  if (options.scores.empty()) {
    print(options.csv ? match_table_csv(table) : match_table_text(table));
    return kDone;
  }
  bool first = true;
  for (const Score& score : parse_scores(options.scores, table)) {
    print(options.json ? score_json(score) + "\n" : (first ? "" : "\n") + score_text(score));
    first = false;
  }
  return kDone;
}

}  // namespace sixfold::tools
