// Plays of a roll: the first byte chooses a position, the second one the roll.
#include <array>

#include "fuzz/fuzz.h"
#include "rules/notation.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 2) return 0;
  constexpr std::array<const char*, 4> kPositions{
      "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "bar 22x2 13x4 8x3 6x3 2x2 / 14 13x4 8x3 6x4 5x3",
      "6x5 5x4 4x3 3x2 1 / 6x2 5x3 4x4 3x3 2x2 1", "bar x2 24 6x2 5x2 4x2 3x2 2x2 / 6x5 5x5 4x5"};
  const Roll roll = kRolls[data[1] % kRollCount];
  const std::string_view text = fuzz::text_of(data + 2, size - 2);
  fuzz::may_refuse([&] {
    const Position position = parse_position(kPositions[data[0] % kPositions.size()]);
    const PlayKey play = parse_play(position, roll, text);
    fuzz::require(parse_play(position, roll, play_text(position, roll, play)) == play);
  });
  return 0;
}
