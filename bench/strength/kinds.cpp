#include "bench/strength/kinds.h"

#include "base/input_error.h"

namespace sixfold {
namespace {

int points_made(const Side& side, int first, int last) {
  int made = 0;
  for (int point = first; point <= last; ++point) made += side[point] >= 2 ? 1 : 0;
  return made;
}

bool plays_back_game(const Side& side, const Side& other) {
  return points_made(side, kFarHome, kPoints) >= 2 && side.pips() > other.pips();
}

bool is_blitzed(const Side& side, const Side& other) {
  const int made = points_made(other, 1, kHomePoints);
  return side[kBar] > 0 && points_made(side, kFarHome, kPoints) == 0 && made >= 3 && made <= 5 &&
         side.borne_off() + other.borne_off() == 0;
}

bool holds_prime(const Side& side, const Side& other) {
  int length = 0;
  for (int point = 1; point <= kPoints; ++point) {
    length = side[point] >= 2 ? length + 1 : 0;
    // The other side's checkers behind the prime stand on its own points above kBar - first.
    if (length >= 5 && other.rearmost() > kBar - (point - length + 1)) return true;
  }
  return false;
}

bool holds_anchor(const Side& side, const Side& other) {
  const int rear = side.rearmost();
  return rear >= 18 && rear <= 21 && side[rear] >= 2 && other.rearmost() < kFarHome;
}

template <typename Test>
bool either(const Position& position, Test test) {
  return test(position.roller, position.opponent) || test(position.opponent, position.roller);
}

}  // namespace

Kind kind_of(const Position& position, int plies) {
  if (is_race(position)) return Kind::kRace;
  if (plies < 6) return Kind::kOpening;
  if (either(position, plays_back_game)) return Kind::kBackGame;
  if (either(position, is_blitzed)) return Kind::kBlitz;
  if (either(position, holds_prime)) return Kind::kPrime;
  if (either(position, holds_anchor)) return Kind::kHolding;
  return Kind::kContact;
}

Kind kind_named(const std::string& name, const std::string& where) {
  for (std::size_t k = 0; k < kKindCount; ++k) {
    if (name == kKindNames[k]) return static_cast<Kind>(k);
  }
  throw InputError("'" + name + "' is no kind of position", where, "one of kinds.h");
}

}  // namespace sixfold
