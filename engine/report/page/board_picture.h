/// A position as a picture: the board from the roller's side.
///
/// Points are slots, numbered from the roller's side: his home at the bottom right, the opponent's
/// at the top right. The roller's checkers are full discs, the opponent's are ringed, so that
/// colour is never the only difference. Pure functions.
#pragma once

#include <optional>
#include <string>

#include "equity/cube.h"
#include "rules/plays.h"
#include "rules/position.h"

namespace sixfold {

struct BoardPicture {
  Position position;                 ///< From the side of the player at the bottom.
  std::optional<Roll> roll{};        ///< Drawn as dice.
  std::optional<Cube> cube{};        ///< Nothing where the cube is left out.
  std::optional<Position> before{};  ///< What has moved since then is marked; from the same side.
};

/// The board after a play, from the side of the player who made it, with what moved marked.
[[nodiscard]] BoardPicture picture_after(const Position& before, PlayKey play,
                                         const std::optional<Cube>& cube);

/// An svg element for an HTML page whose style sheet has picture_style().
[[nodiscard]] std::string board_svg(const BoardPicture& board);
/// The same as a file of its own.
[[nodiscard]] std::string board_svg_file(const BoardPicture& board);
/// The two dice of a roll alone.
[[nodiscard]] std::string dice_svg(Roll roll);
/// The position in words.
[[nodiscard]] std::string board_description(const BoardPicture& board);

}  // namespace sixfold
