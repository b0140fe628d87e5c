// Scores, dice and cubes as options and requests name them.
#include "equity/score.h"
#include "fuzz/fuzz.h"
#include "rules/notation.h"
#include "study/decision.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  fuzz::may_refuse([&] {
    const Score score = parse_score(text, own_match_equities());
    fuzz::require(!score.stakes.empty());
  });
  fuzz::may_refuse([&] { static_cast<void>(parse_asked_cube(text)); });
  fuzz::may_refuse([&] { static_cast<void>(parse_roll(text)); });
  return 0;
}
