#include "random_positions.h"

#include <algorithm>
#include <cstddef>

#include "rules/types.h"

namespace sixfold::oracle {
namespace {

enum class Shape { kScatter, kHome, kNearlyHome, kBar, kStacked, kBlockade };

constexpr int kShapeCount = 6;

/// A number from `lowest` to `highest`, both included. The slight unevenness does no harm.
int pick(std::mt19937_64& random, int lowest, int highest) {
  const auto count = static_cast<std::mt19937_64::result_type>(highest - lowest + 1);
  return lowest + static_cast<int>(random() % count);
}

Shape pick_shape(std::mt19937_64& random) {
  return static_cast<Shape>(pick(random, 0, kShapeCount - 1));
}

/// Places one side's checkers, never on a point the other side holds.
class Placer {
 public:
  Placer(std::mt19937_64& random, const Side& other, int checkers)
      : random_(random), other_(other), left_(checkers) {}

  Side place(Shape shape) {
    switch (shape) {
      case Shape::kScatter:
        break;
      case Shape::kHome:
        place_home(left_);
        break;
      case Shape::kNearlyHome:
        place_home(left_ - pick(random_, 1, std::min(left_, 2)));
        scatter_over(left_, 7, 12);
        break;
      case Shape::kBar:
        place_on_bar();
        break;
      case Shape::kStacked:
        place_stacks();
        break;
      case Shape::kBlockade:
        place_blockade();
        break;
    }
    while (left_ > 0) put(pick(random_, kOff, kBar), 1);
    if (side_.all_off()) bring_one_back();
    return side_;
  }

 private:
  bool is_free(int location) const {
    const bool is_point = location != kOff && location != kBar;
    return !is_point || other_[25 - location] == 0;
  }

  /// Places up to `count` of the checkers left, or none on a point that is not free.
  void put(int location, int count) {
    if (!is_free(location)) return;
    const int placed = std::min(count, left_);
    side_.add(location, placed);
    left_ -= placed;
  }

  /// Scatters checkers over points `lowest` to `highest`; does nothing if none of them is free.
  void scatter_over(int count, int lowest, int highest) {
    std::vector<int> points;
    for (int point = lowest; point <= highest; ++point) {
      if (is_free(point)) points.push_back(point);
    }
    if (points.empty()) return;
    for (int i = 0; i < count; ++i) {
      const int last = static_cast<int>(points.size()) - 1;
      put(points[static_cast<std::size_t>(pick(random_, 0, last))], 1);
    }
  }

  /// Places checkers borne off and in the home board, half the time only on its lowest points.
  void place_home(int count) {
    if (count == 0) return;
    const int off = pick(random_, 0, 2) == 0 ? 0 : pick(random_, 0, count - 1);
    put(kOff, off);
    scatter_over(count - off, 1, pick(random_, 0, 1) == 0 ? kHomePoints : pick(random_, 1, 6));
  }

  void place_on_bar() {
    put(kBar, pick(random_, 1, pick(random_, 0, 9) == 0 ? left_ : std::min(left_, 4)));
    if (pick(random_, 0, 1) == 0) place_home(left_);
  }

  void place_stacks() {
    const int stacks = pick(random_, 1, 4);
    for (int i = 0; i < stacks; ++i) {
      const int point = pick(random_, 1, kPoints);
      put(point, pick(random_, 2, 15));
    }
    const int last = pick(random_, 1, kPoints);
    put(last, left_);
  }

  /// Makes a run of 3 to 6 points, in the home board or anywhere.
  void place_blockade() {
    const int length = pick(random_, 3, 6);
    const int highest_start = pick(random_, 0, 1) == 0 ? 7 - length : 25 - length;
    const int start = pick(random_, 1, highest_start);
    for (int point = start; point < start + length; ++point) put(point, 2);
    if (pick(random_, 0, 1) == 0) scatter_over(left_, start, kPoints);
  }

  void bring_one_back() {
    int point = pick(random_, 1, kPoints);
    while (!is_free(point)) point = pick(random_, 1, kPoints);
    side_.move(kOff, point);
  }

  std::mt19937_64& random_;
  const Side other_;
  Side side_;
  int left_;
};

/// Adds every way to place `left` checkers on `location` and the allowed locations above it.
void add_sides(const Side& placed, int location, int left, int highest_point,
               std::vector<Side>& sides) {
  if (location > highest_point) {
    Side side = placed;
    side.add(kBar, left);
    sides.push_back(side);
    return;
  }
  for (int count = 0; count <= left; ++count) {
    Side side = placed;
    side.add(location, count);
    add_sides(side, location + 1, left - count, highest_point, sides);
  }
}

bool share_a_point(const Side& side, const Side& other) {
  for (int point = 1; point <= kPoints; ++point) {
    if (side[point] > 0 && other[25 - point] > 0) return true;
  }
  return false;
}

}  // namespace

Position random_position(std::mt19937_64& random, int checkers) {
  const Shape shape = pick_shape(random);
  const Shape other_shape = pick(random, 0, 1) == 0 ? shape : pick_shape(random);
  const Side first = Placer(random, Side(), checkers).place(shape);
  const Side second = Placer(random, first, checkers).place(other_shape);
  const bool first_on_roll = pick(random, 0, 1) == 0;
  return first_on_roll ? Position{first, second} : Position{second, first};
}

std::vector<Position> all_positions(int checkers, int highest_point) {
  std::vector<Side> sides;
  add_sides(Side(), kOff, checkers, highest_point, sides);
  std::vector<Position> positions;
  for (const Side& roller : sides) {
    for (const Side& opponent : sides) {
      if (roller.all_off() && opponent.all_off()) continue;
      if (share_a_point(roller, opponent)) continue;
      positions.push_back({roller, opponent});
    }
  }
  return positions;
}

}  // namespace sixfold::oracle
