#include "report/page/match_page.h"

#include <algorithm>

#include "base/markup.h"
#include "report/page/match_course.h"
#include "report/page/match_panels.h"
#include "report/page/match_tables.h"
#include "report/page/sheet_parts.h"
#include "report/page/sheet_terms.h"
#include "report/words/notes.h"

namespace sixfold {
namespace {

std::string title_of(const RecordedMatch& match) {
  return match.players[0] + " against " + match.players[1];
}

std::string panel(const std::string& content) {
  return element("section", {{"class", "panel"}}, content) + "\n";
}

std::string heading(const char* level, const std::string& id, const std::string& text) {
  return element(level, {{"id", id}}, escaped(text)) + "\n";
}

std::string head(const MatchReview& review, const Provenance& made_by) {
  const RecordedMatch& match = review.match;
  std::string place;
  for (const std::string* each : {&match.event, &match.round, &match.place, &match.date}) {
    if (!each->empty()) place += (place.empty() ? "" : ", ") + *each;
  }
  const std::string length = match.length == 0 ? "For money" : "A " + length_words(match);
  std::string html = element("h1", {}, escaped(title_of(match))) + "\n" +
                     paragraphs("aside", place) +
                     paragraphs("question", length + ". " + result_words(match));
  if (review.interrupted) html += paragraphs("warning", kStoppedNote);
  return element("header", {}, html + paragraphs("aside", values_words(review, made_by))) + "\n";
}

/// How the marks of a chart are to be read.
std::string course_caption(const MatchTold& told, const std::string& links) {
  return element(
      "figcaption", {},
      escaped(unit_of_first(told.match()) + " after each turn. " +
              format("Marks are dear decisions, full those of {}, ringed those of {}; ",
                     told.player(0), told.player(1)) +
              format("they lead to their panels{}. The turns of each game, below, tell the same in "
                     "numbers.",
                     links)));
}

std::string course_panel(const MatchTold& told) {
  if (told.review.games.size() < 2) return "";
  return panel(
      heading("h2", "course", "The course of the match") +
      element("figure", {{"class", "keep"}},
              match_course_svg(told) + course_caption(told, ", numbers of games to their games")) +
      "\n" + element("div", {{"class", "keep"}}, games_table(told)));
}

std::string balance_panel(const MatchTold& told) {
  return panel(heading("h2", "balance", "Luck and costs") +
               element("div", {{"class", "pair"}},
                       element("div", {{"class", "keep"}}, match_balance_table(told)) +
                           element("div", {{"class", "keep"}}, players_table(told))) +
               "\n" + paragraphs("aside", units_words(told.match())));
}

std::string dearest_panels(const MatchTold& told) {
  const std::string title = heading("h2", "dearest", "The dearest decisions");
  if (told.panels.empty()) {
    return panel(title + paragraphs("words", "No decision cost anything."));
  }
  std::string html = panel(title + dearest_table(told));
  for (const TurnInGame& place : told.panels) html += decision_panel(told, place);
  return html;
}

std::string game_panel(const MatchTold& told, const ReviewedGame& game) {
  const RecordedGame& record = told.record(game);
  const std::string title = format("Game {}, {}", game.number, score_words(record));
  const std::string pair =
      element("figure", {}, game_course_svg(told, game) + course_caption(told, "")) +
      element("div", {}, game_balance_table(told, game));
  const std::string head = heading("h2", game_id(game), title) +
                           paragraphs("words", record.end ? end_words(told.match(), record) + "."
                                                          : std::string("The record breaks off.")) +
                           paragraphs("notes", record.comment);
  const std::size_t turns = record.turns.size();
  return panel(
      element("div", {{"class", "keep"}}, head + element("div", {{"class", "pair"}}, pair)) + "\n" +
      folded("part", format("All {} turn{}", turns, turns == 1 ? "" : "s"),
             record_table(told, game)));
}

std::string complaints_panel(const MatchReview& review) {
  if (review.complaints.empty()) return "";
  std::string items;
  for (const std::string& complaint : review.complaints) {
    items += element("li", {}, escaped(complaint)) + "\n";
  }
  return panel(heading("h2", "not-judged", "What could not be judged") +
               element("ul", {}, "\n" + items));
}

std::string computed(const MatchReview& review, const Provenance& made_by) {
  std::string text = "Computed by Sixfold " + made_by.version + " with net " + made_by.net;
  if (!review.depth) {
    text += review.is_looked_ahead ? ", a roll ahead" : ", by static values";
    return text + (has_rollouts(review) ? " and by what a night’s queue has rolled out." : ".");
  }
  const RolloutSettings& settings = review.depth->settings;
  return text + format(": what costs {:g} or more by ", review.depth->bound) +
         format("{} or more {}, until it is known to ± {:g}; intervals at {:g}% confidence.",
                whole_blocks(settings.trials), settings_text(settings), settings.half_width,
                100.0 * settings.confidence);
}

}  // namespace

std::string review_html(const MatchReview& review, const Provenance& made_by,
                        const std::string& command) {
  MatchTold told{review, dearest_turns(review)};
  told.panels.resize(std::min(told.panels.size(), kPanels));
  std::string body = head(review, made_by) + "<main>\n";
  if (review.games.empty()) {
    body += panel(paragraphs("words", "No game could be judged."));
  } else {
    body += course_panel(told) + balance_panel(told) + dearest_panels(told);
    for (const ReviewedGame& game : review.games) body += game_panel(told, game);
  }
  body += complaints_panel(review);
  const std::string foot = page_foot(computed(review, made_by), "The same page again:", command);
  body += terms_box(body + foot) + print_choice("Print all that is folded too") + "</main>\n";
  return page_html(title_of(review.match), body + foot);
}

}  // namespace sixfold
