#include "report/page/sheet_terms.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "base/markup.h"
#include "report/page/sheet_parts.h"
#include "report/words/fact_table.h"

namespace sixfold {
namespace {

/// A term with what in a page shows that it is used.
struct SheetTerm {
  const char* name;
  const char* meaning;
  std::array<std::string_view, 2> signs;  ///< Any of them; lower case.
};

constexpr std::array kSheetTerms{
    SheetTerm{
        "±",
        "half the width of an interval that holds the true value 95 times in 100, or as often "
        "as the foot of the sheet says. It covers the luck of the dice, not wrong choices of "
        "the players in the trials. Numbers are rounded: sums may differ in the last digit.",
        {"±"}},
    SheetTerm{
        "equity",
        "points a game at money; at a match score the chance to win the match, scaled so that "
        "losing a single game is −1 and winning one +1",
        {"equity", "equities"}},
    SheetTerm{"cost",
              "what a play or an action of the cube gives up in equity against the best one; where "
              "it was rolled out, by trials on the same dice",
              {"cost"}},
    SheetTerm{"over",
              "before a cost: a play that fell behind early was set aside, and it costs more than "
              "this, as surely as the intervals hold",
              {">over <data"}},
    SheetTerm{
        "worth each", "what one more such game is worth in equity at the score", {"worth each"}},
    SheetTerm{"by a gammon or more",
              "gammons and backgammons together; a gammon by itself is no backgammon",
              {"by a gammon or more"}},
    SheetTerm{"gammon price",
              "what a gammon is worth beyond a single win, a win against a loss being one",
              {"gammon price", "prices are what a gammon"}},
    SheetTerm{"3-away/5-away",
              "points that the roller and the opponent still need to win the match",
              {"-away"}},
    SheetTerm{"dmp", "double match point: both need one point, gammons count for nothing", {"dmp"}},
    SheetTerm{"gammon-go, gammon-save",
              "the Crawford game, without a cube, in which a gammon wins the match for the roller, "
              "who needs two points; or loses it for the roller, who needs one",
              {"gammon-go", "gammon-save"}},
    SheetTerm{"take point",
              "the chance to win with which the opponent just takes a double",
              {"take point"}},
    SheetTerm{
        "cash point", "the roller's chance to win from which the opponent passes", {"cash point"}},
    SheetTerm{"market losers",
              "sequences of a roll and a reply after which there is no take any more",
              {"market losers"}},
    SheetTerm{"dead cube",
              "a cube that can't be turned any more, or by nobody with any use; a live one can, "
              "which is worth something to who may turn it",
              {"dead cube", "of no more use"}},
    SheetTerm{"luck of a roll",
              "what its best play is worth beyond the mean over all rolls that might have come",
              {"luck of the rolls"}},
    SheetTerm{"disagreement",
              "what is left of a result beside luck and costs: the net's own values change from "
              "turn to turn when nothing happens, and costs that were rolled out differ from them",
              {"disagreement"}},
    SheetTerm{"luck-adjusted",
              "from the result of each trial the luck of its rolls is taken out, as the net sees "
              "it: the mean stays, the error shrinks",
              {"luck-adjusted"}},
    SheetTerm{"wastage",
              "what a bear-off takes beyond its pips, through pips that fit no checker and gaps",
              {"wastage"}}};

}  // namespace

std::string terms_box(const std::string& page) {
  std::string text = page;
  std::transform(text.begin(), text.end(), text.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  const auto uses = [&](std::string_view sign) {
    return !sign.empty() && text.find(sign) != std::string::npos;
  };
  std::string terms;
  const auto add = [&](const char* name, const char* meaning) {
    terms += element("dt", {}, escaped(name)) + element("dd", {}, escaped(meaning)) + "\n";
  };
  for (const SheetTerm& term : kSheetTerms) {
    if (std::any_of(term.signs.begin(), term.signs.end(), uses)) add(term.name, term.meaning);
  }
  // Facts are the heads of their rows.
  for (const Term& term : glossary()) {
    if (uses("<th scope=\"row\">" + escaped(term.name) + "</th>")) add(term.name, term.meaning);
  }
  if (terms.empty()) return "";
  return folded("terms", "Terms", element("dl", {}, "\n" + terms));
}

}  // namespace sixfold
