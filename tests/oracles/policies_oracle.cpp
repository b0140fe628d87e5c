#include "policies_oracle.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <deque>
#include <map>
#include <tuple>
#include <utility>
#include <vector>

#include "plays_oracle.h"

namespace sixfold::oracle {
namespace {

constexpr double kStandsStill = 1e-13;
constexpr double kEqual = 1e-9;  // Of worths.

class Chain {
 public:
  Chain(const PolicyWorth& first, const PolicyWorth& other) : first_(first), other_(other) {}

  /// The number of a position, with all that follows from it.
  std::size_t add(const Position& root, bool first_rolls) {
    const std::size_t number = number_of(root, first_rolls);
    while (!waiting_.empty()) {
      const std::size_t next = waiting_.front();
      waiting_.pop_front();
      if (!places_[next].is_over) follow(next);
    }
    return number;
  }
  void iterate() {
    for (double moved = 1.0; moved > kStandsStill;) {
      moved = 0.0;
      for (Place& place : places_) {
        if (place.is_over) continue;
        std::array<double, 6> mean{};
        for (std::size_t r = 0; r < place.next.size(); ++r) {
          const std::array<double, 6>& next = places_[place.next[r]].value;
          for (std::size_t o = 0; o < 6; ++o) mean[o] += kRolls[r].weight() / 36.0 * next[o];
        }
        for (std::size_t o = 0; o < 6; ++o) {
          moved = std::max(moved, std::abs(mean[o] - place.value[o]));
        }
        place.value = mean;
      }
    }
  }
  [[nodiscard]] PolicyGame game(std::size_t number) const {
    double differ = 0.0;
    for (const auto& [one, other] : equals_) {
      for (std::size_t o = 0; o < 6; ++o) {
        differ = std::max(differ, std::abs(places_[one].value[o] - places_[other].value[o]));
      }
    }
    return {places_[number].value, differ, static_cast<int>(places_.size())};
  }

 private:
  struct Place {
    Position position;
    bool first_rolls = false;
    bool is_over = false;
    std::vector<std::size_t> next;  ///< By roll, in the order of kRolls.
    std::array<double, 6> value{};  ///< For the first.
  };
  using Key = std::tuple<std::uint64_t, std::uint64_t, std::uint64_t, std::uint64_t, bool>;

  static Key key(const Position& position, bool first_rolls) {
    const auto half = [](Packed128 bits) { return static_cast<std::uint64_t>(bits); };
    const Packed128 roller = position.roller.bits();
    const Packed128 opponent = position.opponent.bits();
    return {half(roller), half(roller >> 64), half(opponent), half(opponent >> 64), first_rolls};
  }
  std::size_t number_of(const Position& position, bool first_rolls) {
    const auto [found, is_new] = numbers_.emplace(key(position, first_rolls), places_.size());
    if (!is_new) return found->second;
    Place place{position, first_rolls, false, {}, {}};
    if (const auto ended = outcome(position)) {
      place.is_over = true;
      const auto his = static_cast<std::size_t>(*ended);
      place.value[first_rolls ? his : 5 - his] = 1.0;
    }
    places_.push_back(place);
    waiting_.push_back(found->second);
    return found->second;
  }
  void follow(std::size_t number) {
    const Place from = places_[number];
    std::vector<std::size_t> next;
    for (const Roll roll : kRolls) {
      const std::vector<Position> plays = results(from.position, roll);
      std::vector<double> worths;
      for (const Position& after : plays) {
        worths.push_back((from.first_rolls ? first_ : other_)(after));
      }
      const auto best =
          static_cast<std::size_t>(std::max_element(worths.begin(), worths.end()) - worths.begin());
      next.push_back(number_of(plays[best], !from.first_rolls));
      for (std::size_t i = 0; i < plays.size(); ++i) {
        if (i == best || worths[i] < worths[best] - kEqual) continue;
        equals_.emplace_back(next.back(), number_of(plays[i], !from.first_rolls));
      }
    }
    places_[number].next = next;
  }

  const PolicyWorth& first_;
  const PolicyWorth& other_;
  std::vector<Place> places_;
  std::map<Key, std::size_t> numbers_;
  std::deque<std::size_t> waiting_;
  std::vector<std::pair<std::size_t, std::size_t>> equals_;
};

}  // namespace

PolicyGame between(const Position& root, bool first_rolls, const PolicyWorth& first,
                   const PolicyWorth& other) {
  Chain chain(first, other);
  const std::size_t number = chain.add(root, first_rolls);
  chain.iterate();
  return chain.game(number);
}

}  // namespace sixfold::oracle
