#include "report/text/style.h"

#include <string_view>

#include "report/words/names.h"

namespace sixfold {
namespace {

std::string painted(std::string_view text, const char* colour, TextStyle style) {
  if (!style.in_colour) return std::string(text);
  return std::string("\033[") + colour + "m" + std::string(text) + "\033[0m";
}

const char* colour_of(Verdict verdict) {
  switch (verdict) {
    case Verdict::kBest:
      return "32";
    case Verdict::kOpen:
      return "36";
    case Verdict::kWorse:
      break;
  }
  return "31";
}

}  // namespace

std::string verdict_cell(const RolledDecision& rolled, std::size_t rank, TextStyle style) {
  const RolledPlay& play = rolled.result.plays[rank];
  const Verdict verdict = verdict_of(rank == 0, play);
  const auto grade = rank == 0 ? std::nullopt : grade_of(play, rolled.grades);
  return painted(grade ? grade_name(*grade) : verdict_name(verdict), colour_of(verdict), style);
}

std::string roller_checker(TextStyle style) { return painted(kRollerChecker, "1;35", style); }

std::string opponent_checker(TextStyle style) { return painted(kOpponentChecker, "36", style); }

}  // namespace sixfold
