// Match equity tables as CSV: what is accepted is a table of chances.
#include "equity/match_table_file.h"
#include "equity/score.h"
#include "fuzz/fuzz.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  fuzz::may_refuse([&] {
    const MatchEquityTable table =
        parse_match_table(std::string(fuzz::text_of(data, size)), "table");
    const double chance = table.chance(1, table.most_away());
    fuzz::require(chance >= 0.0 && chance <= 1.0);
    static_cast<void>(parse_score("2-away/2-away", table));
  });
  return 0;
}
