// The sheet of a lesson, as HTML, Markdown and CSV. What a browser makes of it is tested in
// tests/browser.
#include "report/page/sheet.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "evaluator/network_file.h"
#include "report/json/json_report.h"
#include "report/page/board_picture.h"
#include "report/tables/lesson_tables.h"
#include "report/test_telling.h"
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
  plan.settings.trials = 36;
  plan.settings.truncate = 2;
  plan.flips = {plan.rolls[1]};
  plan.flip_trials = 36;
  return plan;
}

const Lesson& small_lesson() {
  static const NetworkEvaluator evaluator(
      load_network(SIXFOLD_NETS "/standard.safetensors").networks);
  static const Lesson lesson =
      make_lesson([&](const Decision&) { return instruments_of(evaluator); }, small_plan(),
                  [](const LessonPart&) {});
  return lesson;
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
  const std::regex datum("<data value=\"([^\"]*)\" data-json=\"([^\"]*)\"");
  int count = 0;
  for (std::sregex_iterator it(page.begin(), page.end(), datum), end; it != end; ++it) {
    const std::string pointer = (*it)[2];
    INFO(pointer);
    const nlohmann::json::json_pointer place(pointer);
    REQUIRE(json.contains(place));
    CHECK(json[place].get<double>() == Approx(std::stod((*it)[1])).margin(1e-15));
    ++count;
  }
  CHECK(count > 200);
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
  std::string unfolded;
  std::size_t at = 0;
  int folds = 0;
  for (; page.find("<details>", at) != std::string::npos; ++folds) {
    const std::size_t fold = page.find("<details>", at);
    unfolded += page.substr(at, fold - at);
    at = page.find("</details>", fold);
    REQUIRE(at != std::string::npos);
  }
  unfolded += page.substr(at);
  CHECK(folds == 3);
  CHECK_THAT(unfolded, Catch::Contains("How do you play 31?") && Catch::Contains("24/18 13/9"));
  CHECK_THAT(unfolded, !Catch::Contains("Run or split?") && !Catch::Contains("<data"));
  CHECK_THAT(page, Catch::Contains("Run or split?"));
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
  const auto count = [](const std::string& text, const std::string& part) {
    int found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
      ++found;
    }
    return found;
  };
  const std::string plain = board_svg({position});
  // Fourteen of the roller's on the board, of which the stack of seven is five discs and a number,
  // and one borne off; thirteen of the opponent's and two borne off.
  CHECK(count(plain, "class=\"disc roller\"") == 14 - 2 + 1);
  CHECK(count(plain, "class=\"disc opponent\"") == 13 + 2);
  CHECK(count(plain, ">7<") == 2);  // the number of the stack, and that of a point
  CHECK(count(plain, "class=\"arrived\"") == 0);
  const Roll roll = make_roll(4, 1);
  const std::string after =
      board_svg(picture_after(position, parse_play(position, roll, "bar/24* 13/9"), std::nullopt));
  CHECK(count(after, "class=\"arrived\"") == 3);  // two that moved, one that was hit
  CHECK(count(after, "class=\"gone\"") == 2);
  // On a stack of six, what arrives is marked on its last disc, what goes on the discs left.
  const Position tall = parse_position("24x2 13x5 8x2 6x6 / 24x2 13x5 8x3 6x5");
  const auto marks = [&](const char* play, Roll dice, const char* mark) {
    return count(board_svg(picture_after(tall, parse_play(tall, dice, play), std::nullopt)), mark);
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
