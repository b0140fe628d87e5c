// A reviewed match as JSON, as a table and as a text.
#include <algorithm>
#include <catch2/catch.hpp>

#include "report/json/json_report.h"
#include "report/tables/csv.h"
#include "report/text/review_text.h"
#include "rollout/small_race.h"
#include "study/matches.h"

namespace sixfold {

TEST_CASE("A review is told as JSON, a table and a text") {
  RecordedMatch match = random_race(parse_position("6 5 3 / 6 4 2", 4), 3);
  const SmallRace race(match.games[0].start);
  const MatchReview review = reviewed(match, race);
  const Provenance made_by{"exact/0", "1"};
  const std::string json = review_json(review, made_by);
  CHECK_THAT(json, Catch::StartsWith(R"({"schema":"sixfold.match/1","players":["Mara","Ivo"],)"
                                     R"("length":1,)"));
  CHECK_THAT(json, Catch::Contains(R"("score":"dmp","cube":"none")"));
  const Csv csv = review_csv(review, made_by);
  CHECK_THAT(csv.heading, Catch::StartsWith("game,turn,player,kind,position,dice,"));
  CHECK(std::count(csv.lines.begin(), csv.lines.end(), '\n') ==
        static_cast<std::ptrdiff_t>(match.games[0].turns.size()));
  const std::string text = review_text(review, made_by);
  CHECK_THAT(text, Catch::StartsWith("Mara against Ivo, match to 1\n"));
  CHECK_THAT(text, Catch::Contains("luck of the rolls"));
}

}  // namespace sixfold
