#include "equity/match_table_file.h"
#include "report/json/json_report.h"
#include "report/text/score_text.h"
#include "tools/commands.h"

namespace sixfold::tools {

int run_equities(const EquitiesOptions& options) {
  const MatchEquityTable table = match_equities(options.table);
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
