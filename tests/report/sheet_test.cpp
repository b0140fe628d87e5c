// The sheet of a lesson, as HTML, Markdown and CSV. What a browser makes of it is tested in
// tests/browser.
#include "report/page/sheet.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <regex>
#include <string_view>

#include "evaluator/network_file.h"
#include "report/json/json_report.h"
#include "report/page/board_picture.h"
#include "report/page/sheet_parts.h"
#include "report/page_checks.h"
#include "report/tables/lesson_tables.h"
#include "report/test_telling.h"
#include "report/words/names.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "study/comparisons.h"
#include "study/instruments_of.h"

namespace sixfold {
namespace {

const SheetOptions kOptions{false, "sixfold lesson file.json --out sheet.html"};

LessonPlan small_plan() {
  LessonPlan plan;
  plan.title = "One & \"two\" <b>";
  plan.notes = "<script>alert(1)</script>\nSecond paragraph.";
  plan.position = start_position();
  plan.rolls = {make_roll(3, 1), make_roll(6, 4)};
  plan.remarks = {{plan.rolls[1],
                   "Run or split?",
                   {parse_play(plan.position, plan.rolls[1], "24/14"),
                    parse_play(plan.position, plan.rolls[1], "24/18 13/9")}}};
  plan.scores = {money_score(), parse_score("gammon-save", own_match_equities())};
  plan.cube = AskedCube(std::nullopt);
  plan.settings.trials = 36;
  plan.settings.truncate = 2;
  plan.flips = {plan.rolls[1]};
  plan.flip_trials = 36;
  return plan;
}

Lesson lesson_of(const LessonPlan& plan) {
  static const NetworkEvaluator evaluator(
      load_network(SIXFOLD_NETS "/standard.safetensors").networks);
  return make_lesson([&](const Decision&) { return instruments_of(evaluator); }, plan,
                     [](const LessonPart&) {});
}

const Lesson& small_lesson() {
  static const Lesson lesson = lesson_of(small_plan());
  return lesson;
}

Estimate estimate(double mean, double half_width) {
  return {mean, half_width / 2, half_width, 100};
}

/// What of a page stands outside all folds.
std::string unfolded(const std::string& page, int& folds) {
  std::string outside;
  int depth = 0;
  for (std::size_t at = 0; at < page.size();) {
    const std::string_view rest = std::string_view(page).substr(at);
    if (rest.starts_with("<details")) {
      ++depth;
      ++folds;
    }
    if (depth == 0) outside += page[at];
    if (rest.starts_with("</details>")) --depth;
    ++at;
  }
  CHECK(depth == 0);
  return outside;
}

}  // namespace

TEST_CASE("What comes from outside is escaped in the page") {
  const std::string page = lesson_html(small_lesson(), kLessonTelling, kOptions);
  CHECK_THAT(page, Catch::Contains("<h1>One &amp; &quot;two&quot; &lt;b&gt;</h1>"));
  CHECK_THAT(page, Catch::Contains("<p class=\"notes\">&lt;script&gt;alert(1)&lt;/script&gt;</p>"));
  CHECK_THAT(page,
             !Catch::Contains("<script") && !Catch::Contains("url(") && !Catch::Contains("src="));
}

TEST_CASE("Every number of the page says where it stands in the JSON, and is the same") {
  const auto json = nlohmann::json::parse(lesson_json(small_lesson(), kLessonTelling));
  const std::string page = lesson_html(small_lesson(), kLessonTelling, kOptions);
  CHECK(checked_numbers(page, json) > 200);
}

TEST_CASE("The best play is compared with the plays that the author names") {
  const std::vector<Comparison> free = comparisons(small_lesson(), make_roll(3, 1));
  std::size_t cells = 0;
  for (const Comparison& pair : free) {
    for (const Comparison::At& at : pair.at) CHECK(at.other == 1);
    cells += pair.at.size();
  }
  CHECK(cells == 2);
  const RollRemarks& remarks = small_lesson().plan.remarks[0];
  std::size_t named = 0;
  for (const Comparison& pair : comparisons(small_lesson(), make_roll(6, 4))) {
    for (const Comparison::At& at : pair.at) {
      const std::vector<RolledPlay>& plays = small_lesson().cells[at.cell].result.plays;
      CHECK(plays.front().play == pair.best);
      CHECK(plays[at.other].play == pair.other);
      CHECK((pair.other == remarks.plays[0] || pair.other == remarks.plays[1]));
      ++named;
    }
  }
  // At each of two scores one of the two named plays, or both where neither is the best.
  CHECK(named >= 2);
}

TEST_CASE("A quiz asks first: no verdict stands outside a fold") {
  SheetOptions options = kOptions;
  options.is_quiz = true;
  const std::string page = lesson_html(small_lesson(), kLessonTelling, options);
  int folds = 0;
  const std::string outside = unfolded(page, folds);
  CHECK(folds > 3);
  CHECK_THAT(outside, Catch::Contains("How do you play 31 at money and gammon-save?") &&
                          Catch::Contains("24/18 13/9"));
  CHECK_THAT(outside, !Catch::Contains("Run or split?") && !Catch::Contains("<data"));
  CHECK_THAT(page, Catch::Contains("Run or split?"));
}

TEST_CASE("A sheet begins with question, board and answers, and folds the rest") {
  const std::string page = lesson_html(small_lesson(), kLessonTelling, kOptions);
  int folds = 0;
  const std::string outside = unfolded(page, folds);
  // At each of two scores of two rolls all numbers, then facts and other plays of each roll, the
  // plane of one, and the terms.
  CHECK(folds == 4 + 2 + 2 + 1 + 1);
  const auto at = [&](const char* part) { return outside.find(part); };
  CHECK(at("How do you play 31 and 64 at money and gammon-save?") < at("\"main-board\""));
  CHECK(at("\"main-board\"") < at("<table class=\"glance\""));
  CHECK(at("<table class=\"glance\"") < at("<table class=\"compare\""));
  CHECK_THAT(outside, !Catch::Contains("class=\"ledger\"") && !Catch::Contains("class=\"facts\"") &&
                          !Catch::Contains("class=\"numbers\""));
  CHECK_THAT(outside, Catch::Contains("The cube is left out."));
}

TEST_CASE("Each cell is answered once, and is settled where no other play is open") {
  Lesson lesson = small_lesson();
  for (RolledDecision& cell : lesson.cells) {
    for (std::size_t i = 1; i < cell.result.plays.size(); ++i) {
      cell.result.plays[i].at_least.reset();
      cell.result.plays[i].cost = estimate(0.1, 0.05);
    }
  }
  const auto glance = [&] {
    const std::string page = lesson_html(lesson, kLessonTelling, kOptions);
    const std::size_t begin = page.find("<table class=\"glance\"");
    return page.substr(begin, page.find("</table>", begin) - begin);
  };
  CHECK(count_of("● settled", glance()) == 4);
  CHECK(count_of("○ open", glance()) == 0);
  // Not the runner-up but a play behind it may be as good.
  lesson.cells[0].result.plays[3].cost = estimate(0.1, 0.2);
  CHECK(count_of("● settled", glance()) == 3);
  CHECK(count_of("○ open", glance()) == 1);
  CHECK_THAT(glance(), Catch::Contains(play_text(lesson.plan.position, make_roll(3, 1),
                                                 lesson.cells[0].result.plays[3].play) +
                                       " costs"));
}

TEST_CASE("A sheet tells a play that was set aside by its bound alone") {
  Lesson lesson = small_lesson();
  RolledPlay& second = lesson.cells[0].result.plays[1];
  for (RolledPlay& play : lesson.cells[0].result.plays) play.at_least = 0.2;
  lesson.cells[0].result.plays[0].at_least.reset();
  second.at_least = 0.0839;
  const auto json = nlohmann::json::parse(lesson_json(lesson, kLessonTelling));
  const std::string page = lesson_html(lesson, kLessonTelling, kOptions);
  // Rounded so that it is still a bound.
  CHECK_THAT(page, Catch::Contains("over <data value=\"0.083900000000000002\" "
                                   "data-json=\"/cells/0/plays/1/cost/at_least\" "
                                   "data-rounded=\"down\">0.083</data>"));
  for (const char* part : {"outcomes", "equity", "ledger", "trials", "cost/mean"}) {
    CHECK_THAT(page, !Catch::Contains(std::string("\"/cells/0/plays/1/") + part));
  }
  CHECK_THAT(lesson_markdown(lesson, kLessonTelling, kOptions.command),
             Catch::Contains("over 0.083"));
}

TEST_CASE("Ledgers leave out what the score makes worthless") {
  Lesson lesson = small_lesson();
  // At gammon-save the roller needs one point: his own gammons count for nothing.
  const auto ledgers_of_score = [&](const std::string& page) {
    std::string ledgers;
    for (std::size_t at = page.find("<summary>gammon-save:"); at != std::string::npos;
         at = page.find("<summary>gammon-save:", at + 1)) {
      const std::size_t begin = page.find("<table class=\"ledger\">", at);
      ledgers += page.substr(begin, page.find("</table>", begin) - begin);
    }
    return ledgers;
  };
  const std::string ledgers = ledgers_of_score(lesson_html(lesson, kLessonTelling, kOptions));
  CHECK_THAT(ledgers, Catch::Contains(kShareWords[0]) && Catch::Contains(kShareWords[3]) &&
                          !Catch::Contains(kShareWords[1]) && !Catch::Contains(kShareWords[2]) &&
                          !Catch::Contains(kShareWords[4]));
}

TEST_CASE("A share whose interval reaches zero is told by what it is under") {
  const JsonPath at = JsonPath() / "share";
  CHECK(share_data(estimate(0.0, 0.06), at) ==
        "under <data value=\"0.059999999999999998\" data-json=\"/share/mean /share/half_width\" "
        "data-scale=\"100\">6.00</data>");
  CHECK_THAT(share_data(estimate(0.25, 0.01), at),
             Catch::Contains(">25.00</data>") && Catch::Contains("± <data") &&
                 Catch::Contains(">1.00</data>") && !Catch::Contains("under"));
}

TEST_CASE("Terms are those that the sheet uses") {
  using Catch::Contains;
  Lesson lesson = small_lesson();
  lesson.flips.clear();  // The plane has all named scores on it.
  const std::string page = lesson_html(lesson, kLessonTelling, kOptions);
  CHECK_THAT(page, Contains("<dt>luck-adjusted</dt>") && Contains("<dt>gammon-go, gammon-save") &&
                       !Contains("<dt>dmp</dt>") && !Contains("<dt>market losers</dt>") &&
                       !Contains("<dt>dead cube</dt>") && !Contains("<dt>wastage</dt>"));
  lesson.plan.notes = "Mind the wastage.";
  CHECK_THAT(lesson_html(lesson, kLessonTelling, kOptions), Contains("<dt>wastage</dt>"));
}

TEST_CASE("What is odd about the position is said under the board") {
  CHECK_THAT(lesson_html(small_lesson(), kLessonTelling, kOptions), !Catch::Contains("Warning: "));
  LessonPlan plan = small_plan();
  plan.position = parse_position("24x2 13x4 8x3 6x5 / 24x2 13x5 8x3 6x5");
  plan.rolls = {parse_roll("31")};
  plan.remarks.clear();
  plan.flips.clear();
  const Lesson lesson = lesson_of(plan);
  CHECK_THAT(lesson_html(lesson, kLessonTelling, kOptions), Catch::Contains("Warning: "));
  CHECK_THAT(lesson_markdown(lesson, kLessonTelling, kOptions.command),
             Catch::Contains("Warning: "));
}

TEST_CASE("A roll without a choice and a lesson that was stopped say so") {
  Lesson lesson = small_lesson();
  for (RolledDecision& cell : lesson.cells) cell.result.plays.resize(1);
  lesson.flips.clear();
  lesson.stopped = true;
  const std::string page = lesson_html(lesson, kLessonTelling, kOptions);
  CHECK_THAT(page, Catch::Contains("There is only one legal play, ") &&
                       Catch::Contains("Stopped early") && !Catch::Contains("nan"));
  CHECK_THAT(lesson_markdown(lesson, kLessonTelling, kOptions.command),
             Catch::Contains("Stopped early"));
  lesson.cells.resize(1);
  CHECK_THAT(lesson_markdown(lesson, kLessonTelling, kOptions.command),
             !Catch::Contains("## Roll 64"));
}

TEST_CASE("A board shows every checker once, and what has moved") {
  const Position position = parse_position("bar 20x2 13x3 8 6x7 / 24 20x2 13x2 8x3 6x2 3 2 1");
  const std::string plain = board_svg({position});
  // Fourteen of the roller's on the board, of which the stack of seven is five discs and a number,
  // and one borne off; thirteen of the opponent's and two borne off.
  CHECK(count_of("class=\"disc roller\"", plain) == 14 - 2 + 1);
  CHECK(count_of("class=\"disc opponent\"", plain) == 13 + 2);
  CHECK(count_of(">7<", plain) == 2);  // the number of the stack, and that of a point
  CHECK(count_of("class=\"arrived\"", plain) == 0);
  const Roll roll = make_roll(4, 1);
  const std::string after =
      board_svg(picture_after(position, parse_play(position, roll, "bar/24* 13/9"), std::nullopt));
  CHECK(count_of("class=\"arrived\"", after) == 3);  // two that moved, one that was hit
  CHECK(count_of("class=\"gone\"", after) == 2);
  // On a stack of six, what arrives is marked on its last disc, what goes on the discs left.
  const Position tall = parse_position("24x2 13x5 8x2 6x6 / 24x2 13x5 8x3 6x5");
  const auto marks = [&](const char* play, Roll dice, const char* mark) {
    return count_of(mark,
                    board_svg(picture_after(tall, parse_play(tall, dice, play), std::nullopt)));
  };
  CHECK(marks("8/6 24/23", make_roll(2, 1), "class=\"arrived\"") == 2);
  CHECK(marks("6/4 6/5", make_roll(2, 1), "class=\"gone\"") == 2);
  CHECK_THAT(board_description({position}), Catch::Contains("1 on the bar, 2 on 20"));
}

TEST_CASE("Markdown takes the author's words literally") {
  const std::string text = lesson_markdown(small_lesson(), kLessonTelling, kOptions.command);
  CHECK_THAT(text, Catch::StartsWith("# One & \"two\" \\<b\\>\n\n"
                                     "\\<script\\>alert(1)\\</script\\>\n\nSecond paragraph."));
  CHECK_THAT(text, Catch::Contains("## Roll 64") && Catch::Contains("| gammon-save |") &&
                       Catch::Contains(kOptions.command));
}

}  // namespace sixfold
