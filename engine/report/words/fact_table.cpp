#include "report/words/fact_table.h"

#include <array>
#include <optional>
#include <utility>

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
  return format("{} from {}", prime.length, prime.from);
}

/// The cells of one column, in the order of kTerms.
std::vector<std::string> column_of(const SideFacts& mover, const SideFacts& opponent,
                                   const PlayFacts* play) {
  const auto rolls = [](const std::optional<RollCount>& count) {
    return count ? format("{}, {}", count->any, count->more) : std::string("-");
  };
  const auto changes = [&](const std::vector<int> PlayFacts::*points) {
    return play == nullptr ? std::string("-") : list_text(play->*points);
  };
  const auto count = [&](const int PlayFacts::*counted) {
    return play == nullptr ? std::string("-") : std::to_string(play->*counted);
  };
  return {std::to_string(mover.pips),       list_text(mover.blots),
          list_text(mover.home_blots),      play == nullptr ? "-" : rolls(play->shots),
          count(&PlayFacts::shots_at_back), count(&PlayFacts::shots_at_others),
          list_text(mover.anchors),         list_text(mover.outer_points),
          list_text(mover.home_points),     changes(&PlayFacts::hit_on),
          changes(&PlayFacts::made),        changes(&PlayFacts::broken),
          prime_text(mover.prime),          spares_text(mover),
          list_text(mover.stacked),         changes(&PlayFacts::stripped),
          std::to_string(mover.back),       std::to_string(opponent.pips),
          std::to_string(opponent.on_bar),  play == nullptr ? "-" : rolls(play->opponent_enters)};
}

constexpr std::array<Term, 20> kTerms{{
    {"pips", "points still to go for all checkers together"},
    {"blots", "points with a single checker"},
    {"home blots", "those of them on the points 1 to 6"},
    {"shots", "rolls of 36 with which the opponent hits; with which he hits two", true},
    {"at back checkers", "those that hit one in his home board, where it costs few pips", true},
    {"at others", "those that hit one elsewhere", true},
    {"anchors", "held points of the opponent's home board"},
    {"outer points", "held points 7 to 18: 7 the bar point, 13 the midpoint"},
    {"home points", "held points 1 to 6"},
    {"hits on", "points on which the play hits", true},
    {"made", "points that the play makes", true},
    {"given up", "points that it no longer holds; the 24 point does not count", true},
    {"prime", "the longest row of held points, and the rearmost of them"},
    {"spares", "checkers beyond two on a point"},
    {"stacked", "points with five checkers and more"},
    {"stripped", "points left with exactly two checkers", true},
    {"back", "checkers in the opponent's home board or on the bar"},
    {"opponent's pips", "points that the opponent still has to go"},
    {"his on the bar", "checkers of the opponent that must enter first"},
    {"he enters with", "rolls of 36 that enter one of them; that enter all", true},
}};

bool says_nothing(const std::string& cell) { return cell == "-" || cell == "0" || cell == "0, 0"; }

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
    FactRow fact{kTerms[row], {}};
    bool is_empty = true;
    bool any_changed = plays.empty() || kTerms[row].of_play;
    for (const std::vector<std::string>& column : columns) {
      const bool changed = !kTerms[row].of_play && column[row] != columns[0][row];
      any_changed = any_changed || changed;
      is_empty = is_empty && says_nothing(column[row]);
      fact.cells.push_back({column[row], changed});
    }
    if (!is_empty && any_changed) rows.push_back(std::move(fact));
  }
  return rows;
}

std::span<const Term> glossary() noexcept { return kTerms; }

}  // namespace sixfold
