#include "exact/side_index.h"

#include <catch2/catch.hpp>

namespace sixfold {

TEST_CASE("Sides are numbered without gaps, and moving a checker home gives a smaller number") {
  const auto [points, checkers, size] = GENERATE(table<int, int, std::uint32_t>({
      {6, 15, 54264},  // one-sided bear-off positions: Trice W., rec.games.backgammon, 1997
      {6, 6, 924},
      {25, 1, 26},
      {25, 2, 351},
      {10, 4, 1001},
      {1, 15, 16},
  }));
  const SideIndex index(points, checkers);
  REQUIRE(index.size() == size);
  for (std::uint32_t number = 0; number < size; ++number) {
    const Side side = index.side(number);
    REQUIRE(side.total() == checkers);
    REQUIRE(index.holds(side));
    REQUIRE(index.number(side) == number);
    for (int from = 1; from <= points; ++from) {
      if (side[from] == 0) continue;
      Side moved = side;
      moved.move(from, from - 1);
      REQUIRE(index.number(moved) < number);
    }
  }
}

TEST_CASE("The number depends on the board alone, not on how many checkers are off") {
  const SideIndex index(6, 15);
  Side few;
  few.add(3, 2);
  Side many = few;
  many.add(kOff, 13);
  CHECK(index.number(few) == index.number(many));
}

TEST_CASE("An index holds neither sides that stand further out nor larger ones") {
  const SideIndex index(6, 2);
  Side side;
  side.add(6, 2);
  CHECK(index.holds(side));
  side.add(1, 1);
  CHECK_FALSE(index.holds(side));
  Side out;
  out.add(7, 1);
  CHECK_FALSE(index.holds(out));
}

}  // namespace sixfold
