#include "base/format.h"

#include <catch2/catch.hpp>
#include <cmath>

namespace sixfold {

TEST_CASE("Numbers are printed as the reports have them") {
  CHECK(format("{:+.3f}", 0.0625) == "+0.062");
  CHECK(format("{:+.4f}", -0.0) == "-0.0000");
  CHECK(format("{:6.2f}|{:<6.2f}|", 2.5, 2.5) == "  2.50|2.50  |");
  CHECK(format("{:g} {:g} {:g}", 95.0, 0.02, 1e-5) == "95 0.02 1e-05");
  CHECK(format("{:.1e}", 0.000123) == "1.2e-04");
  CHECK(format("{:3}|{:+}", 7, 7) == "  7|+7");
  CHECK(std::stod(format("{:.17g}", 0.1)) == 0.1);
}

TEST_CASE("A text may be longer than any buffer") {
  const std::string name(10'000, 'n');
  CHECK(format("{}!", name) == name + "!");
}

}  // namespace sixfold
