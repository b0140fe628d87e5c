#include "equity/match_table_file.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "base/input_error.h"
#include "equity/score.h"

namespace sixfold {

TEST_CASE("a table that is written and read is the same to the digits written") {
  const MatchEquityTable& own = own_match_equities();
  const MatchEquityTable read = parse_match_table(match_table_csv(own), "t");
  REQUIRE(read.most_away() == own.most_away());
  for (int away = 1; away <= own.most_away(); ++away) {
    CHECK(read.after_crawford(away) == Approx(own.after_crawford(away)).margin(6e-6));
    for (int other = 1; other <= own.most_away(); ++other) {
      CHECK(read.chance(away, other) == Approx(own.chance(away, other)).margin(6e-6));
    }
  }
}

TEST_CASE("a user's table counts, rounded cells and all; ours fills in after the Crawford game") {
  const MatchEquityTable table = parse_match_table("away, 1, 2\r\n\n1,.5,.697\n2,0.302,.5\n", "t");
  CHECK(table.most_away() == 2);
  CHECK(table.chance(2, 1) == Approx(0.3025));
  CHECK(table.chance(1, 2) + table.chance(2, 1) == 1.0);
  CHECK(table.after_crawford(2) == own_match_equities().after_crawford(2));
  const MatchEquityTable whole =
      parse_match_table("away,1,2\n1,.5,.7\n2,.3,.5\npost-crawford,.5,.49", "t");
  CHECK(whole.after_crawford(2) == 0.49);
}

TEST_CASE("chances that stay the same for a point, as rounded ones may, are taken") {
  const MatchEquityTable flat = parse_match_table(
      "away,1,2,3\n1,.5,.7,.7\n2,.3,.5,.6\n3,.3,.4,.5\npost-crawford,.5,.5,.3\n", "t");
  for (int away = 1; away <= 3; ++away) {
    for (int other = 1; other <= 3; ++other) {
      for (const MatchPhase phase : {MatchPhase::kBeforeCrawford, MatchPhase::kAfterCrawford}) {
        if ((phase == MatchPhase::kAfterCrawford) != (away == 1 || other == 1)) continue;
        for (const Stake& stake : match_stakes(flat, {away, other, phase}, 1)) {
          for (const double worth : stake.worth) CHECK(std::isfinite(worth));
          CHECK(std::isfinite(equity_of(stake, stake.pass_win)));
        }
      }
    }
  }
}

TEST_CASE("tables that are none are refused with the line and the reason") {
  struct Case {
    const char* text;
    const char* complaint;
  };
  for (const Case& each :
       {Case{"", "not a match equity table"},
        {"needs,1\n1,.5\n", "not a match equity table"},
        {"away,1,2\n1,.5,.7\n", "1 rows for 2 columns"},
        {"away,1,2\n1,.5,.7\n2,.3\n", "line 3: 2 fields; expected 3"},
        {"away,1,3\n1,.5,.7\n3,.3,.5\n", "column '3'; expected 2"},
        {"away,1,2\n1,.5,.7\n3,.3,.5\n", "row '3'; expected 2"},
        {"away,1,2\n1,.5,.7\n2,.4,.5\n", "line 2: 0.7 for 1-away against 2-away and 0.4"},
        {"away,1,2\n1,.5,1.7\n2,-.7,.5\n", "'1.7' in column 3; expected a chance from 0 to 1"},
        {"away,1,2\n1,.5,70\n2,30,.5\n", "'70'"},
        {"away,1,2\n1,.5,x\n2,.3,.5\n", "'x'"},
        {"away,1,2\n1,.6,.7\n2,.3,.5\n", "0.6 for 1-away against 1-away"},
        {"away,1,2\n1,.5,.3\n2,.7,.5\n", "line 3: at 2-away/1-away the chance is higher"},
        {"away,1,2,3\n1,.5,.7,.7\n2,.3,.5,.4\n3,.3,.6,.5\n", "line 4: at 3-away/2-away"},
        {"away,1\n1,nan\n", "'nan'"},
        {"away,1,2\n1,.5,1\n2,0,.5\npost-crawford,.5,0\n", "line 4: at 2-away after"},
        {"away,1,2\n1,.5,.7\n2,.3,.5\npost-crawford,.4,.45\n", "2-away after the Crawford game"},
        {"away,1,2,3\n1,.5,1,1\n2,0,.5,1\n3,0,0,.5\n", "a game won is worth no more"},
        {"away,1,2\n1,.5,.7\n2,.3,.5\nafter,.5,.5\n", "row 'after'; expected post-crawford"}}) {
    INFO(each.text);
    CHECK_THROWS_AS(parse_match_table(each.text, "t.csv"), InputError);
    CHECK_THROWS_WITH(parse_match_table(each.text, "t.csv"), Catch::Contains(each.complaint));
  }
  CHECK_THROWS_WITH(load_match_table("/nowhere/t.csv"), Catch::Contains("cannot be read"));
}

}  // namespace sixfold
