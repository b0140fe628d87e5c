#include "report/text/facts_text.h"

#include <catch2/catch.hpp>
#include <sstream>

#include "report/words/fact_table.h"
#include "rules/start.h"

namespace sixfold {

TEST_CASE("the table of facts fits on 80 columns and marks what changes") {
  const Position start = start_position();
  PlayList plays;
  generate_plays(start, make_roll(3, 1), plays);
  const std::string text = facts_text(start, plays.span().first(3));
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 80);
  CHECK_THAT(text,
             Catch::Contains("before") && Catch::Contains("play 3") && Catch::Contains("163 *"));
  // Nobody hits or enters, and both have their checkers where they were.
  CHECK_THAT(text, !Catch::Contains("hits on") && !Catch::Contains("he enters with") &&
                       !Catch::Contains("opponent's pips"));
}

}  // namespace sixfold
