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

}  // namespace

std::vector<double> features(const Position& position) {
  std::vector<double> features;
  append_side(position.roller, features);
  append_side(position.opponent, features);
  return features;
}

}  // namespace sixfold::oracle
