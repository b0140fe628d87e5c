#include "train/learning_curve.h"

#include <catch2/catch.hpp>
#include <regex>
#include <string>
#include <vector>

namespace sixfold {
namespace {

/// Two snapshots; one point without a measure.
std::vector<CurvePoint> some_curve() {
  return {{1000.0f, 1.5f, 70.0f, 0.5f, 0.4f, 0.0f, 0.0f, 0.0f},
          {20000.0f, 1.0f, 60.0f, 0.3f, 0.31f, 0.25f, 0.01f, 10000.0f},
          {120000.0f, 0.8f, 56.0f, 0.27f, 0.26f, 0.125f, 0.02f, 100000.0f}};
}

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t found = 0;
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; ++at) ++found;
  return found;
}

}  // namespace

TEST_CASE("a learning curve's table leaves empty what was not measured") {
  CHECK(curve_csv(some_curve()) ==
        "games,loss,plies,gammons,gammons_predicted,points,points_error,snapshot_games\n"
        "1000,1.500000,70.000,0.50000,0.40000,,,\n"
        "20000,1.000000,60.000,0.30000,0.31000,0.25000,0.01000,10000\n"
        "120000,0.800000,56.000,0.27000,0.26000,0.12500,0.02000,100000\n");
}

TEST_CASE("a learning curve's picture has a line for each series, whiskers where points are") {
  const std::string svg = curve_svg(some_curve(), "quick, seed 1");
  CHECK(svg.find("<title>quick, seed 1</title>") != std::string::npos);
  CHECK(svg.find("that of 10 k games") != std::string::npos);
  CHECK(svg.find("that of 100 k games") != std::string::npos);
  // Loss, two of gammons, two snapshots; and these two's whiskers.
  CHECK(count(svg, "class=\"line\"") == 7);
  CHECK(svg.find("nan") == std::string::npos);
  CHECK(svg.find("inf") == std::string::npos);
}

TEST_CASE("a learning curve without a measure of strength has two panels") {
  const std::vector<CurvePoint> curve(1, some_curve().front());
  const std::string svg = curve_svg(curve, "short");
  CHECK(count(svg, "class=\"line\"") == 3);
  CHECK(svg.find("earlier states") == std::string::npos);
}

TEST_CASE("everything that is drawn lies inside the picture") {
  const std::string svg = curve_svg(some_curve(), "quick, seed 1");
  const std::regex pair("[ML]([0-9.-]+) ([0-9.-]+)");
  for (std::sregex_iterator at(svg.begin(), svg.end(), pair), end; at != end; ++at) {
    CHECK(std::stod((*at)[1]) >= 0.0);
    CHECK(std::stod((*at)[1]) <= 720.0);
    CHECK(std::stod((*at)[2]) >= 0.0);
    CHECK(std::stod((*at)[2]) <= 34.0 + 3 * 204.0);
  }
}

}  // namespace sixfold
