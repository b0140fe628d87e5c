#include "report/text/points_text.h"

#include <cmath>
#include <map>

#include "report/text/layout.h"
#include "report/text/outcome_columns.h"

namespace sixfold {
namespace {

/// By points; those beyond kManyPoints together.
std::map<int, Estimate> shown_points(const RolledCube& cube) {
  constexpr int kMany = RolledCube::kManyPoints;
  std::map<int, Estimate> shown;
  for (const RolledCube::Points& one : cube.points) {
    if (one.points < -kMany) {
      shown[-kMany - 1] = cube.lose_many;
    } else if (one.points > kMany) {
      shown[kMany + 1] = cube.win_many;
    } else {
      shown[one.points] = one.share;
    }
  }
  return shown;
}

std::string share_text(const Estimate& share) {
  if (is_unseen(share)) return format("     <{:.2f}%", 100.0 * share.half_width);
  return format("{:6.2f}% ± {:.2f}", 100.0 * share.mean, 100.0 * share.half_width);
}

}  // namespace

std::string points_text(const std::vector<std::pair<std::string, const RolledCube*>>& columns) {
  constexpr std::size_t kWidth = 24;
  std::string text = padded("points", 10);
  std::vector<std::map<int, Estimate>> shown;
  std::map<int, bool> rows;
  for (const auto& [name, cube] : columns) {
    text += padded(name, kWidth);
    shown.push_back(shown_points(*cube));
    for (const auto& [points, share] : shown.back()) {
      if (share.mean >= 5e-5) rows[points] = true;
    }
  }
  const auto end_line = [&] {
    while (text.back() == ' ') text.pop_back();
    text += "\n";
  };
  end_line();
  for (const auto& [points, unused] : rows) {
    const bool beyond = std::abs(points) > RolledCube::kManyPoints;
    static_assert(RolledCube::kManyPoints == 8);
    text += padded(beyond ? (points > 0 ? "over +8" : "under -8") : format("{:+}", points), 10);
    for (const auto& column : shown) {
      const auto found = column.find(points);
      text += found == column.end() ? padded("     -", kWidth)
                                    : padded(share_text(found->second), kWidth);
    }
    end_line();
  }
  return text;
}

}  // namespace sixfold
