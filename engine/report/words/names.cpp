#include "report/words/names.h"

#include <cassert>
#include <cmath>

#include "base/format.h"
#include "rules/notation.h"

namespace sixfold {

std::string_view verdict_name(Verdict verdict) noexcept {
  switch (verdict) {
    case Verdict::kBest:
      return "best";
    case Verdict::kOpen:
      return "open";
    case Verdict::kWorse:
      break;
  }
  return "worse";
}

std::string_view grade_name(Grade grade) noexcept {
  return grade == Grade::kError ? "error" : "blunder";
}

std::string verdict_text(const RolledDecision& rolled, std::size_t rank) {
  const RolledPlay& play = rolled.result.plays[rank];
  const std::string verdict(verdict_name(verdict_of(rank == 0, play)));
  const auto grade = rank == 0 ? std::nullopt : grade_of(play, rolled.grades);
  if (!grade) return verdict;
  return verdict + (*grade == Grade::kError ? ", an error" : ", a blunder");
}

std::string bound_text(double bound, int decimals) {
  const double scale = std::pow(10.0, decimals);
  return format("{:.{}f}", std::floor(bound * scale) / scale, decimals);
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

const char* equity_method_name(bool is_exact) noexcept { return is_exact ? "exact" : "model"; }

std::string play_name(const RolledDecision& rolled, std::size_t rank) {
  assert(rank < rolled.result.plays.size());
  return play_text(rolled.decision.position, *rolled.decision.roll, rolled.result.plays[rank].play);
}

std::string asked_cube(const std::optional<Cube>& cube) {
  if (!cube) return "none";
  if (cube->owner == CubeOwner::kCentred) return "centred";
  return format("{}:{}", cube->owner == CubeOwner::kRoller ? "roller" : "opponent", cube->value);
}

}  // namespace sixfold
