/// How a game is going to end as the cube model sees it: ends whose worth is the model's.
///
/// A chance on one of the model's lines is worth what the outcomes are, and for each side a share
/// of what it changes to replace games at the side's point by passed doubles. So a position is a
/// mixture of the outcomes and of passes. Pure arithmetic on plain values; safe to use from any
/// thread.
#pragma once

#include <array>

#include "equity/cube.h"
#include "equity/cube_results.h"

namespace sixfold {

/// Made for a position, it also serves for outcomes near its own, so that what follows from each
/// roll needs no model of its own.
class CubeEnds {
 public:
  /// `lines` are those of `outcomes`, the roller's, who is about to decide whether to double.
  CubeEnds(const CubeLines& lines, const OutcomeDistribution& outcomes) noexcept;

  /// Adds the ends that follow from outcomes, `weight` times, for the roller; `turns` is how often
  /// the cube has been turned.
  void add_to(CubeResults& results, double weight, const OutcomeDistribution& outcomes,
              std::size_t turns) const noexcept;

 private:
  const CubeLines lines_;
  /// By doublings from now on: what passes stand for, the roller's and the opponent's.
  std::array<std::array<OutcomeDistribution, 2>, 3> replaced_;
};

}  // namespace sixfold
