#include "rules/start.h"

#include "base/input_error.h"

namespace sixfold {

Position start_position(int checkers) {
  Side side;
  if (checkers == kMaxCheckers) {
    side.add(24, 2);
    side.add(13, 5);
    side.add(8, 3);
    side.add(6, 5);
  } else if (checkers >= 1 && checkers <= kPoints / 2) {
    for (int i = 0; i < checkers; ++i) side.add(kPoints - i, 1);
  } else {
    throw InputError("no start position for " + std::to_string(checkers) + " checkers a side",
                     "checkers", "15, or 1 to 12");
  }
  return {side, side};
}

}  // namespace sixfold
