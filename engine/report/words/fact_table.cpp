#include "report/words/fact_table.h"

#include <array>
#include <optional>

#include "base/format.h"

namespace sixfold {
namespace {

std::string list_text(const std::vector<int>& points) {
  std::string text;
  for (const int point : points) text += (text.empty() ? "" : " ") + std::to_string(point);
  return text.empty() ? "-" : text;
}

std::string spares_text(const SideFacts& side) {
  std::string text;
  for (const auto& [point, spares] : side.spares) {
    text += (text.empty() ? "" : " ") + std::to_string(point);
    if (spares > 1) text += "x" + std::to_string(spares);
  }
  return text.empty() ? "-" : text;
}

std::string prime_text(const Prime& prime) {
  if (prime.length == 0) return "-";
  return format("%d from %d", prime.length, prime.from);
}

/// The cells of one column, in the order of kTerms.
std::vector<std::string> column_of(const SideFacts& mover, const SideFacts& opponent,
                                   const PlayFacts* play) {
  const auto rolls = [](const std::optional<RollCount>& count) {
    return count ? format("%d, %d", count->any, count->more) : std::string("-");
  };
  const auto changes = [&](const std::vector<int> PlayFacts::*points) {
    return play == nullptr ? std::string("-") : list_text(play->*points);
  };
  return {std::to_string(mover.pips),      list_text(mover.blots),
          list_text(mover.home_blots),     play == nullptr ? "-" : rolls(play->shots),
          list_text(mover.anchors),        list_text(mover.home_points),
          changes(&PlayFacts::made),       changes(&PlayFacts::broken),
          prime_text(mover.prime),         spares_text(mover),
          list_text(mover.stacked),        changes(&PlayFacts::stripped),
          std::to_string(mover.back),      std::to_string(opponent.pips),
          std::to_string(opponent.on_bar), play == nullptr ? "-" : rolls(play->opponent_enters)};
}

constexpr std::array<Term, 16> kTerms{{
    {"pips", "points still to go for all checkers together"},
    {"blots", "points with a single checker"},
    {"home blots", "those of them on the points 1 to 6"},
    {"shots", "rolls of 36 with which the opponent hits; with which he hits two", true},
    {"anchors", "held points of the opponent's home board"},
    {"home points", "held points 1 to 6"},
    {"made", "home points and anchors that the play makes", true},
    {"broken", "those that it gives up", true},
    {"prime", "the longest row of held points, and the rearmost of them"},
    {"spares", "checkers beyond two on a point"},
    {"stacked", "points with five checkers and more"},
    {"stripped", "points left with exactly two checkers", true},
    {"back", "checkers in the opponent's home board or on the bar"},
    {"opponent's pips", "points that the opponent still has to go"},
    {"his on the bar", "checkers of the opponent that must enter first"},
    {"he enters with", "rolls of 36 that enter one of them; that enter all", true},
}};

}  // namespace

std::vector<FactRow> fact_rows(const Position& before, std::span<const PlayKey> plays) {
  std::vector<std::vector<std::string>> columns{
      column_of(side_facts(before.roller), side_facts(before.opponent), nullptr)};
  for (const PlayKey play : plays) {
    const PlayFacts facts = play_facts(before, play);
    columns.push_back(column_of(facts.mover, facts.opponent, &facts));
  }
  std::vector<FactRow> rows;
  for (std::size_t row = 0; row < kTerms.size(); ++row) {
    rows.push_back({kTerms[row], {}});
    for (const std::vector<std::string>& column : columns) {
      const bool changed = !kTerms[row].of_play && column[row] != columns[0][row];
      rows.back().cells.push_back({column[row], changed});
    }
  }
  return rows;
}

std::span<const Term> glossary() noexcept { return kTerms; }

}  // namespace sixfold
