#include "report/page/charts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "base/format.h"
#include "base/markup.h"
#include "report/words/flip_words.h"
#include "report/words/names.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

constexpr double kChartWidth = 400;

constexpr std::array kOutcomeKinds{"o0", "o1", "o2", "o3", "o4", "o5"};

/// A horizontal interval with ends.
std::string whisker(double centre, double half_width, double y) {
  const double left = std::max(0.0, centre - half_width);
  const double right = std::min(kChartWidth, centre + half_width);
  return line(left, y, right, y, "whisker") + line(left, y - 3, left, y + 3, "whisker") +
         line(right, y - 3, right, y + 3, "whisker");
}

std::string outcome_bar(const OutcomeBar& bar, double y) {
  constexpr double kThick = 22;
  constexpr double kLeastForNumber = 20;
  std::string svg = label(0, y + 12, "name", bar.name);
  const double top = y + 18;
  double x = 0.0;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    const double width = kChartWidth * bar.outcomes[o].mean;
    svg += rectangle(x, top, width, kThick, kOutcomeKinds[o]);
    if (width >= kLeastForNumber) {
      const bool is_deep = o != 2 && o != 3;
      svg += label(x + width / 2, top + 15, is_deep ? "share deep middle" : "share middle",
                   format("{:.0f}", 100.0 * bar.outcomes[o].mean));
    }
    // Losses end on their right, wins begin on their left.
    const bool is_loss = o < 3;
    svg += whisker(is_loss ? x + width : x, kChartWidth * bar.outcomes[o].half_width,
                   top + kThick + (is_loss ? 5 : 12));
    x += width;
  }
  return svg;
}

/// From values to places between two margins.
struct Axis {
  double low;
  double high;
  double left;
  double right;
  [[nodiscard]] double at(double value) const {
    return left + (right - left) * (std::clamp(value, low, high) - low) / (high - low);
  }
};

Axis axis_of(std::span<const IntervalPoint> points, double left, double right) {
  double low = points.front().value.mean;
  double high = low;
  for (const IntervalPoint& point : points) {
    low = std::min(low, point.value.mean - point.value.half_width);
    high = std::max(high, point.value.mean + point.value.half_width);
  }
  const double room = std::max(0.05 * (high - low), 0.002);
  return {low - room, high + room, left, right};
}

std::string scale_svg(const Axis& axis, double top, double bottom) {
  std::string svg;
  const double step = round_step(axis.high - axis.low);
  const int digits = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
  for (double k = std::ceil(axis.low / step); k * step <= axis.high; k += 1.0) {
    const double x = axis.at(k * step);
    svg += line(x, top, x, bottom, "tick");
    svg += label(x, bottom + 14, "axis middle",
                 with_minus_sign(format("{:.{}f}", k * step + 0.0, digits)));
  }
  return svg;
}

constexpr double kCell = 16;
constexpr double kPlaneLeft = 58;
constexpr double kPlaneTop = 8;
constexpr double kPlaneSide = kCell * (Flip::kSteps + 1);

double plane_x(double price) { return kPlaneLeft + kCell * (price * Flip::kSteps + 0.5); }
double plane_y(double price) {
  return kPlaneTop + kPlaneSide - kCell * (price * Flip::kSteps + 0.5);
}

std::string plane_cell(const Flip& flip, int i, int j) {
  const GammonPrices prices{static_cast<double>(i) / Flip::kSteps,
                            static_cast<double>(j) / Flip::kSteps};
  const FlipPoint point = flip.at(prices);
  const std::string kind =
      format("p{}{}", static_cast<int>(point.best % 6), point.is_settled() ? "" : " open");
  std::string svg = rectangle(plane_x(prices.own) - kCell / 2,
                              plane_y(prices.opponents) - kCell / 2, kCell, kCell, kind.c_str());
  if (i % 2 == 0 && j % 2 == 0) {
    svg += label(plane_x(prices.own), plane_y(prices.opponents) + 4, "letter middle",
                 std::string(1, point.letter()));
  }
  return svg;
}

bool is_on_plane(const GammonPrices& prices) {
  constexpr double kMost = 1.02;
  return prices.own <= kMost && prices.opponents <= kMost;
}

std::string plane_dot(const GammonPrices& prices, double radius, const char* kind) {
  if (!is_on_plane(prices)) return "";
  return circle(plane_x(prices.own), plane_y(prices.opponents), radius, kind);
}

/// A score as a point of the plane, if its prices are on it.
std::string plane_score(const std::string& name, const GammonPrices& prices) {
  if (!is_on_plane(prices)) return "";
  const double x = plane_x(prices.own);
  const double y = plane_y(prices.opponents);
  const bool is_right = prices.own > 0.5;
  return plane_dot(prices, 4.5, "spot") +
         label(is_right ? x - 8 : x + 8, prices.opponents > 0.9 ? y + 16 : y - 7,
               is_right ? "spot-name end" : "spot-name start", name);
}

}  // namespace

double round_step(double length) {
  double step = std::pow(10.0, std::floor(std::log10(length)) - 1.0);
  for (const double factor : {2.0, 2.5, 2.0, 2.0}) {
    if (length / step <= 6.0) break;
    step *= factor;
  }
  return step;
}

std::string outcome_bars_svg(std::span<const OutcomeBar> bars) {
  constexpr double kBarHeight = 62;
  const double bottom = kBarHeight * static_cast<double>(bars.size());
  std::string svg;
  std::string words = "Outcomes in per cent of all games.";
  double y = 0;
  for (const OutcomeBar& bar : bars) {
    svg += outcome_bar(bar, y);
    words += " " + bar.name + ":";
    for (std::size_t o = 0; o < kOutcomeCount; ++o) {
      words += format("{} {} {:.1f} ± {:.1f}", o == 0 ? "" : ",", kOutcomeWords[o],
                      100.0 * bar.outcomes[o].mean, 100.0 * bar.outcomes[o].half_width);
    }
    words += ".";
    y += kBarHeight;
  }
  for (const int share : {0, 25, 50, 75, 100}) {
    const double x = kChartWidth * share / 100.0;
    const char* kind = share == 0 ? "axis start" : share == 100 ? "axis end" : "axis middle";
    svg += line(x, bottom - 2, x, bottom + 3, "tick") +
           label(x, bottom + 15, kind, std::to_string(share) + "%");
  }
  return picture("chart", kChartWidth, bottom + 20, words, svg);
}

std::string interval_points_svg(std::span<const IntervalPoint> points,
                                std::span<const Threshold> thresholds, const std::string& scale) {
  constexpr double kRow = 38;
  constexpr double kTop = 18;
  const Axis axis = axis_of(points, 24, kChartWidth - 24);
  const double bottom = kTop + kRow * static_cast<double>(points.size());
  std::string svg = scale_svg(axis, kTop - 4, bottom);
  std::string words = scale + ".";
  for (const Threshold& threshold : thresholds) {
    if (threshold.value <= axis.low || threshold.value >= axis.high) continue;
    const double x = axis.at(threshold.value);
    svg += line(x, kTop - 4, x, bottom, "threshold");
    // The first to the left of its line, the others to the right: they may be close together.
    const bool is_left = &threshold == thresholds.data() || x + 60 > kChartWidth;
    svg += label(is_left ? x - 3 : x + 3, kTop - 7, is_left ? "axis end" : "axis start",
                 threshold.name);
  }
  double y = kTop;
  for (const IntervalPoint& point : points) {
    svg += label(8, y + 13, "name start halo", point.name);
    svg += label(kChartWidth - 8, y + 13, "axis end halo", point.note);
    const double x = axis.at(point.value.mean);
    if (point.value.half_width > 0.0) {
      const double left = axis.at(point.value.mean - point.value.half_width);
      const double right = axis.at(point.value.mean + point.value.half_width);
      svg += line(left, y + 25, right, y + 25, "whisker");
    }
    svg += circle(x, y + 25, 4.5, "dot");
    words += " " + point.name +
             format(": {:.3f} ± {:.3f}", point.value.mean, point.value.half_width) +
             (point.note.empty() ? "." : ", " + point.note + ".");
    y += kRow;
  }
  svg += label(kChartWidth / 2, bottom + 28, "axis middle", scale);
  return picture("chart", kChartWidth, bottom + 34, words, svg);
}

std::string flip_plane_svg(const FlipStudy& study, std::span<const PlaneScore> scores) {
  const Flip& flip = study.flip;
  std::string svg;
  for (int j = 0; j <= Flip::kSteps; ++j) {
    for (int i = 0; i <= Flip::kSteps; ++i) svg += plane_cell(flip, i, j);
  }
  for (const double price : {0.0, 0.25, 0.5, 0.75, 1.0}) {
    const std::string text = format("{:g}", price);
    svg += label(plane_x(price), kPlaneTop + kPlaneSide + 15, "axis middle", text) +
           label(kPlaneLeft - 5, plane_y(price) + 4, "axis end", text);
  }
  svg += label(kPlaneLeft + kPlaneSide / 2, kPlaneTop + kPlaneSide + 32, "axis middle",
               "what the roller's gammons are worth");
  const double middle = kPlaneTop + kPlaneSide / 2;
  svg += element(
      "text",
      {{"class", "axis middle"}, {"transform", "translate(13 " + length(middle) + ") rotate(-90)"}},
      "what the opponent's gammons are worth");
  for (const PlaneScore& score : study.away) svg += plane_dot(score.prices, 2.2, "away");
  std::string words = "The best play of " + roll_text(study.roll) + " by what gammons are worth.";
  for (const auto& [name, prices] : scores) {
    svg += plane_score(name, prices);
    const FlipPoint point = flip.at(prices);
    words += " " + name + ": " + play_text(study.position, study.roll, flip.plays()[point.best]) +
             (point.is_settled() ? "." : ", within the error.");
  }
  return picture("chart plane", kChartWidth, kPlaneTop + kPlaneSide + 40, words, svg);
}

}  // namespace sixfold
