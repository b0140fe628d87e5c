#include "evaluator/luck_network.h"

#include <cassert>

namespace sixfold {

LuckNetwork zero_luck_network(int units, int hidden) {
  assert(units % kHiddenStep == 0 && hidden % kHiddenStep == 0 && units + hidden <= kMaxHidden);
  LuckNetwork network;
  network.units = units;
  network.hidden = hidden;
  for_each_luck_array(network, [](const char*, std::vector<float>& values, std::size_t rows,
                                  std::size_t columns) { values.assign(rows * columns, 0.0f); });
  return network;
}

}  // namespace sixfold
