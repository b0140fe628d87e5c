#include "report/words/names.h"

#include <cassert>

#include "rules/notation.h"

namespace sixfold {

std::string_view verdict_name(Verdict verdict) noexcept {
  switch (verdict) {
    case Verdict::kBest:
      return "best";
    case Verdict::kClose:
      return "close";
    case Verdict::kError:
      return "error";
    case Verdict::kBlunder:
      break;
  }
  return "blunder";
}

const char* method_name(Method method) noexcept {
  switch (method) {
    case Method::kExact:
      return "exact";
    case Method::kRaceTable:
      return "race table";
    case Method::kNetwork:
      break;
  }
  return "network";
}

std::string play_name(const RolledDecision& rolled, std::size_t rank) {
  assert(rank < rolled.result.plays.size());
  return play_text(rolled.decision.position, *rolled.decision.roll, rolled.result.plays[rank].play);
}

}  // namespace sixfold
