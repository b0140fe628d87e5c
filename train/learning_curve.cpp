#include "train/learning_curve.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/format.h"

namespace sixfold {
namespace {

constexpr double kTwoSided95 = 1.96;
// Of the picture, in pixels.
constexpr double kWidth = 720.0;
constexpr double kPanelHeight = 204.0;
constexpr double kLeft = 64.0;
constexpr double kRight = 150.0;  // room for labels
constexpr double kTop = 34.0;
constexpr double kPlotHeight = 124.0;
// Told apart by colour-blind readers and by their dashes too.
constexpr const char* kColours[] = {"#0b5fa5", "#c25a00", "#4d7c0f", "#7a3e9d"};
constexpr const char* kDashes[] = {"", "6 3", "2 3", "9 3 2 3"};

struct SeriesPoint {
  double games;
  double value;
  double half_width = 0.0;
};

struct Series {
  std::string label;
  std::vector<SeriesPoint> points;
};

struct Panel {
  std::string title;
  std::vector<Series> series;
};

/// 1, 2 or 5 times a power of ten, so that there are about four steps in a range.
double step_of(double range) {
  const double raw = range / 4.0;
  const double power = std::pow(10.0, std::floor(std::log10(raw)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (raw <= factor * power) return factor * power;
  }
  return 10.0 * power;
}

std::string games_text(double games) {
  if (games >= 1e6) return format("{:g} M", games / 1e6);
  return games >= 1e3 ? format("{:g} k", games / 1e3) : format("{:g}", games);
}

std::vector<Panel> panels_of(std::span<const CurvePoint> curve) {
  Panel loss{"Loss, nats", {{"", {}}}};
  Panel gammons{"Gammons and backgammons, share of games",
                {{"realised", {}}, {"predicted at the start", {}}}};
  Panel strength{"Points a game against earlier states of the same run", {}};
  float snapshot = -1.0f;
  for (const CurvePoint& point : curve) {
    const auto games = static_cast<double>(point.games);
    const auto at = [games](float value) { return SeriesPoint{games, static_cast<double>(value)}; };
    loss.series[0].points.push_back(at(point.loss));
    gammons.series[0].points.push_back(at(point.gammons));
    gammons.series[1].points.push_back(at(point.predicted_gammons));
    if (!(point.points_error > 0.0f)) continue;
    if (point.snapshot_games != snapshot) {
      snapshot = point.snapshot_games;
      strength.series.push_back(
          {"that of " + games_text(static_cast<double>(snapshot)) + " games", {}});
    }
    SeriesPoint measured = at(point.points);
    measured.half_width = kTwoSided95 * static_cast<double>(point.points_error);
    strength.series.back().points.push_back(measured);
  }
  std::vector<Panel> panels{loss, gammons};
  if (!strength.series.empty()) panels.push_back(strength);
  return panels;
}

/// From figures to pixels of one panel.
class Scale {
 public:
  Scale(const Panel& panel, double most_games, double top) : most_games_(most_games), top_(top) {
    low_ = 1e300;
    high_ = -1e300;
    for (const Series& series : panel.series) {
      for (const SeriesPoint& point : series.points) {
        low_ = std::min(low_, point.value - point.half_width);
        high_ = std::max(high_, point.value + point.half_width);
      }
    }
    step_ = step_of(std::max(high_ - low_, 1e-6));
    low_ = step_ * std::floor(low_ / step_);
    high_ = std::max(step_ * std::ceil(high_ / step_), low_ + step_);
  }
  [[nodiscard]] double x(double games) const {
    return kLeft + (kWidth - kLeft - kRight) * games / most_games_;
  }
  [[nodiscard]] double y(double value) const {
    return top_ + kPlotHeight * (high_ - value) / (high_ - low_);
  }
  [[nodiscard]] double low() const { return low_; }
  [[nodiscard]] double high() const { return high_; }
  [[nodiscard]] double step() const { return step_; }

 private:
  double most_games_;
  double top_;
  double low_;
  double high_;
  double step_;
};

std::string axes(const Scale& scale, double most_games) {
  std::string svg;
  for (double value = scale.low(); value <= scale.high() + 0.5 * scale.step();
       value += scale.step()) {
    const double y = scale.y(value);
    svg += format("<path class=\"grid\" d=\"M{:.1f} {:.1f}H{:.1f}\"/>", kLeft, y, kWidth - kRight);
    svg += format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"end\">{:g}</text>\n", kLeft - 6.0,
                  y + 4.0, std::round(value / scale.step()) * scale.step());
  }
  const double step = step_of(most_games);
  for (double games = 0.0; games <= most_games * 1.0001; games += step) {
    svg += format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>\n",
                  scale.x(games), scale.y(scale.low()) + 18.0, games_text(games));
  }
  return svg;
}

/// Heights of the labels at the lines' ends, far enough apart to be read.
std::vector<double> label_heights(const Panel& panel, const Scale& scale) {
  constexpr double kApart = 14.0;
  std::vector<double> heights;
  for (const Series& series : panel.series) heights.push_back(scale.y(series.points.back().value));
  std::vector<std::size_t> order(heights.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return heights[a] < heights[b]; });
  for (std::size_t i = 1; i < order.size(); ++i) {
    heights[order[i]] = std::max(heights[order[i]], heights[order[i - 1]] + kApart);
  }
  return heights;
}

std::string line_of(const Series& series, std::size_t number, const Scale& scale, double most_games,
                    double label_height) {
  const char* const colour = kColours[number % std::size(kColours)];
  std::string path;
  std::string whiskers;
  for (const SeriesPoint& point : series.points) {
    const double x = scale.x(point.games);
    path += format("{}{:.1f} {:.1f}", path.empty() ? 'M' : 'L', x, scale.y(point.value));
    if (point.half_width <= 0.0) continue;
    whiskers += format("M{:.1f} {:.1f}V{:.1f}", x, scale.y(point.value - point.half_width),
                       scale.y(point.value + point.half_width));
  }
  std::string svg = "<path class=\"line\" stroke=\"" + std::string(colour) +
                    "\" stroke-dasharray=\"" + kDashes[number % std::size(kDashes)] + "\" d=\"" +
                    path + "\"/>\n";
  if (!whiskers.empty()) {
    svg += "<path class=\"line\" stroke=\"" + std::string(colour) + "\" d=\"" + whiskers + "\"/>\n";
  }
  double x = scale.x(series.points.back().games) + 6.0;
  double y = label_height + 4.0;
  if (series.points.back().games < most_games) {
    // Others go on to the right: the label stands above the whiskers.
    x = scale.x(series.points.front().games);
    for (const SeriesPoint& point : series.points) {
      y = std::min(y, scale.y(point.value + point.half_width) - 6.0);
    }
  }
  return svg + format("<text x=\"{:.1f}\" y=\"{:.1f}\" style=\"fill:{}\">{}</text>\n", x, y, colour,
                      series.label);
}

}  // namespace

std::string curve_csv(std::span<const CurvePoint> curve) {
  std::string csv =
      "games,loss,plies,gammons,gammons_predicted,points,points_error,snapshot_games\n";
  for (const CurvePoint& point : curve) {
    const auto field = [](FormatPattern<double> pattern, float value) {
      return sixfold::format(pattern, static_cast<double>(value));
    };
    csv += field("{:.0f},", point.games) + field("{:.6f},", point.loss) +
           field("{:.3f},", point.plies) + field("{:.5f},", point.gammons) +
           field("{:.5f},", point.predicted_gammons);
    csv += point.points_error > 0.0f
               ? field("{:.5f},", point.points) + field("{:.5f},", point.points_error) +
                     field("{:.0f}\n", point.snapshot_games)
               : std::string(",,\n");
  }
  return csv;
}

std::string curve_svg(std::span<const CurvePoint> curve, const std::string& title) {
  const std::vector<Panel> panels = panels_of(curve);
  const auto most_games = static_cast<double>(curve.back().games);
  const double height = kTop + kPanelHeight * static_cast<double>(panels.size());
  std::string svg = format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\">\n",
      kWidth, height);
  svg += "<title>" + title + "</title>\n";
  svg +=
      "<style>text{font:12px sans-serif;fill:#333}.head{font-weight:600}"
      ".line{fill:none;stroke-width:1.6}.grid{stroke:#ddd}</style>\n"
      "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n";
  svg += format("<text class=\"head\" x=\"{:.0f}\" y=\"20\">{}</text>\n", 12.0, title);
  for (std::size_t p = 0; p < panels.size(); ++p) {
    const double top = kTop + kPanelHeight * static_cast<double>(p) + 40.0;  // labels between
    const Scale scale(panels[p], most_games, top);
    svg +=
        format("<text x=\"{:.1f}\" y=\"{:.1f}\">{}</text>\n", kLeft, top - 24.0, panels[p].title);
    svg += axes(scale, most_games);
    const std::vector<double> heights = label_heights(panels[p], scale);
    for (std::size_t s = 0; s < panels[p].series.size(); ++s) {
      svg += line_of(panels[p].series[s], s, scale, most_games, heights[s]);
    }
  }
  return svg + "</svg>\n";
}

}  // namespace sixfold
