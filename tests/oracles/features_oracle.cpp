#include "features_oracle.h"

#include <algorithm>
#include <cmath>

#include "rules/types.h"

namespace sixfold::oracle {
namespace {

double truth(bool statement) { return statement ? 1.0 : 0.0; }

void append_side(const Side& side, std::vector<double>& features) {
  int pips = 25 * side[kBar];
  for (int point = 1; point <= 24; ++point) {
    const int count = side[point];
    pips += point * count;
    for (int exact = 1; exact <= 5; ++exact) features.push_back(truth(count == exact));
    features.push_back(truth(count >= 6));
    for (int least = 1; least <= 3; ++least) features.push_back(truth(count >= least));
    features.push_back(count > 3 ? (count - 3) / 2.0 : 0.0);
  }
  features.push_back(truth(side[kBar] == 1));
  features.push_back(truth(side[kBar] == 2));
  features.push_back(truth(side[kBar] >= 3));
  features.push_back(side[kBar] / 2.0);
  for (int least = 1; least <= 15; ++least) features.push_back(truth(side[kOff] >= least));
  features.push_back(side[kOff] / 15.0);
  for (int centre = 0; centre <= 200; centre += 10) {
    const double distance = std::abs(std::min(pips, 200) - centre);
    features.push_back(std::max(0.0, 1.0 - distance / 10.0));
  }
}

int made(const Side& side, int point) { return point >= 1 && point <= 24 && side[point] >= 2; }

bool comes(int distance, int a, int b) {
  if (distance > 12) return false;
  if (distance == a || distance == b || distance == a + b) return true;
  return a == b && (distance == 3 * a || distance == 4 * a);
}

/// Rolls of the hitter's that bring a checker over the distance to a blot between two points.
int shots(const Side& blots, int first, int last, const Side& hitter) {
  int rolls = 0;
  for (int a = 1; a <= 6; ++a) {
    for (int b = 1; b <= 6; ++b) {
      bool hits = false;
      for (int blot = first; blot <= last; ++blot) {
        for (int from = 1; from <= 25; ++from) {
          const int distance = from - (25 - blot);  // 25 - blot is the blot's point for the hitter
          if (blots[blot] == 1 && hitter[from] > 0 && distance > 0) {
            hits = hits || comes(distance, a, b);
          }
        }
      }
      rolls += hits ? 1 : 0;
    }
  }
  return rolls;
}

int block(const Side& blocked, const Side& other) {
  int rear = 0;
  for (int location = 1; location <= 25; ++location) {
    if (blocked[location] > 0) rear = location;
  }
  int bits = 0;
  for (int pips = 1; pips <= 6; ++pips) bits = 2 * bits + made(other, 25 - (rear - pips));
  return bits;
}

int home(const Side& side) {
  int bits = 0;
  for (int point = 6; point >= 1; --point) bits = 2 * bits + made(side, point);
  return bits;
}

void append_value(int value, int values, std::vector<double>& features) {
  for (int each = 1; each <= values; ++each) features.push_back(truth(value == each));
}

}  // namespace

std::vector<double> features(const Position& position) {
  std::vector<double> features;
  append_side(position.roller, features);
  append_side(position.opponent, features);
  const Side& roller = position.roller;
  const Side& opponent = position.opponent;
  append_value(shots(roller, 1, 6, opponent), 36, features);
  append_value(shots(roller, 7, 24, opponent), 36, features);
  append_value(shots(opponent, 1, 6, roller), 36, features);
  append_value(shots(opponent, 7, 24, roller), 36, features);
  append_value(block(roller, opponent), 63, features);
  append_value(block(opponent, roller), 63, features);
  append_value(home(roller), 63, features);
  append_value(home(opponent), 63, features);
  return features;
}

}  // namespace sixfold::oracle
