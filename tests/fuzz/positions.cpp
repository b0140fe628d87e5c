// Positions and lines of plays from the start, and the games that they leave.
#include "fuzz/fuzz.h"
#include "rules/notation.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  fuzz::may_refuse([&] {
    const Position position = parse_position(text);
    fuzz::require(parse_position(position_text(position)) == position);
  });
  fuzz::may_refuse([&] { static_cast<void>(parse_position(text, 15, Numbering::kRollers)); });
  fuzz::may_refuse([&] { static_cast<void>(parse_position(text, 3)); });
  fuzz::may_refuse([&] { static_cast<void>(parse_line(text)); });
  return 0;
}
