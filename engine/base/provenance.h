/// What made a result, for those who tell it. Results do not carry it.
#pragma once

#include <string>

namespace sixfold {

struct Provenance {
  std::string net;      ///< The network's name and identity.
  std::string version;  ///< Of the program.
  /// The net by which the opponent plays in rollouts; empty: the same.
  std::string opponent_net{};

  /// Of what no opponent has a part in: static values.
  [[nodiscard]] Provenance without_opponent() const { return {net, version}; }
};

}  // namespace sixfold
