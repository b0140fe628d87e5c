#include "study/facts.h"

#include <algorithm>
#include <array>
#include <bit>

#include "base/format.h"

namespace sixfold {
namespace {

constexpr int kStack = 5;

/// Points of a range with a number of checkers from `least` to `most`, in descending order.
std::vector<int> points_with(const Side& side, int first, int last, int least, int most) {
  std::vector<int> points;
  for (int point = last; point >= first; --point) {
    if (side[point] >= least && side[point] <= most) points.push_back(point);
  }
  return points;
}

std::vector<int> held(const Side& side, int first, int last) {
  return points_with(side, first, last, 2, kMaxCheckers);
}

Prime longest_prime(const Side& side) {
  Prime longest;
  Prime here;
  for (int point = kPoints; point >= 1; --point) {
    if (side[point] < 2) {
      here = {};
      continue;
    }
    if (here.length++ == 0) here.from = point;
    if (here.length >= 2 && here.length > longest.length) longest = here;
  }
  return longest;
}

/// Counts rolls: `reach` says of a play how far it gets, 0 for not at all.
template <typename Reach>
RollCount counted_rolls(const Position& position, int all, Reach reach) {
  RollCount count;
  PlayList plays;
  for (const Roll roll : kRolls) {
    generate_plays(position, roll, plays);
    int most = 0;
    for (const PlayKey play : plays) most = std::max(most, reach(play));
    if (most >= 1) count.any += roll.weight();
    if (most >= all) count.more += roll.weight();
  }
  return count;
}

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

std::vector<int> without(std::span<const int> points, std::span<const int> others) {
  std::vector<int> left;
  for (const int point : points) {
    if (std::find(others.begin(), others.end(), point) == others.end()) left.push_back(point);
  }
  return left;
}

SideFacts side_facts(const Side& side) {
  SideFacts facts;
  facts.pips = side.pips();
  facts.blots = points_with(side, 1, kPoints, 1, 1);
  facts.home_blots = points_with(side, 1, kHomePoints, 1, 1);
  facts.anchors = held(side, kFarHome, kPoints);
  facts.home_points = held(side, 1, kHomePoints);
  facts.prime = longest_prime(side);
  for (const int point : points_with(side, 1, kPoints, 3, kMaxCheckers)) {
    facts.spares.emplace_back(point, side[point] - 2);
  }
  facts.stacked = points_with(side, 1, kPoints, kStack, kMaxCheckers);
  facts.back = side.sum(kFarHome);
  facts.on_bar = side[kBar];
  return facts;
}

RollCount hitting_rolls(const Position& position) {
  return counted_rolls(position, 2, [](PlayKey play) { return std::popcount(play.hits()); });
}

std::optional<RollCount> entering_rolls(const Position& position) {
  const int waiting = position.roller[kBar];
  if (waiting == 0) return std::nullopt;
  return counted_rolls(position, waiting,
                       [&](PlayKey play) { return waiting - play.mover()[kBar]; });
}

PlayFacts play_facts(const Position& before, PlayKey play) {
  const Position after = position_after(before, play);
  const Side& mover = after.opponent;
  PlayFacts facts;
  facts.mover = side_facts(mover);
  facts.opponent = side_facts(after.roller);
  facts.hits = std::popcount(play.hits());
  for (const auto& [first, last] : {std::pair(kFarHome, kPoints), std::pair(1, kHomePoints)}) {
    const std::vector<int> had = held(before.roller, first, last);
    const std::vector<int> has = held(mover, first, last);
    for (const int point : without(has, had)) facts.made.push_back(point);
    for (const int point : without(had, has)) facts.broken.push_back(point);
  }
  facts.stripped =
      without(points_with(mover, 1, kPoints, 2, 2), points_with(before.roller, 1, kPoints, 0, 2));
  facts.mover_wins = game_over(after);
  if (facts.mover_wins) return facts;
  facts.shots = hitting_rolls(after);
  facts.opponent_enters = entering_rolls(after);
  return facts;
}

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

std::string facts_text(const Position& before, std::span<const PlayKey> plays) {
  constexpr std::size_t kLabel = 17;
  constexpr std::size_t kColumn = 16;
  std::string text;
  const auto add_line = [&](const std::string& name, const std::vector<std::string>& cells) {
    text += name + std::string(kLabel - name.size(), ' ');
    for (const std::string& cell : cells) {
      text += cell + std::string(std::max(kColumn, cell.size() + 1) - cell.size(), ' ');
    }
    while (text.back() == ' ') text.pop_back();
    text += "\n";
  };
  std::vector<std::string> heads{"before"};
  for (std::size_t i = 1; i <= plays.size(); ++i) heads.push_back("play " + std::to_string(i));
  add_line("", heads);
  for (const FactRow& row : fact_rows(before, plays)) {
    std::vector<std::string> cells;
    for (const FactRow::Cell& cell : row.cells)
      cells.push_back(cell.text + (cell.changed ? " *" : ""));
    add_line(row.term.name, cells);
  }
  return text;
}

std::span<const Term> glossary() noexcept { return kTerms; }

}  // namespace sixfold
