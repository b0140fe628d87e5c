// A reviewed match as a page and as Markdown. What a browser makes of it is tested in
// tests/browser.
#include "report/page/match_page.h"

#include <fstream>
#include <iterator>

#include "base/markup.h"
#include "record/read.h"
#include "report/json/json_report.h"
#include "report/page_checks.h"
#include "report/tables/csv.h"
#include "report/tables/review_markdown.h"
#include "report/test_telling.h"
#include "report/text/review_text.h"
#include "report/words/review_words.h"
#include "rollout/small_race.h"
#include "study/matches.h"
#include "study/review_depth.h"
#include "study/samples.h"

namespace sixfold {
namespace {

constexpr const char* kCommand = "sixfold match 'a<b.txt' --out page.html";

std::string page_of(const MatchReview& review) { return review_html(review, kMadeBy, kCommand); }
std::string markdown_of(const MatchReview& review) {
  return review_markdown(review, kMadeBy, kCommand);
}
nlohmann::json json_of(const MatchReview& review) {
  return nlohmann::json::parse(review_json(review, kMadeBy));
}

RecordedMatch read(const std::string& text) {
  const ReadMatch read = read_record(text);
  REQUIRE(read.complaints.empty());
  return read.match;
}

/// The match of the demo: three games, one of them the Crawford game.
const MatchReview& demo_review() {
  static const MatchReview kReview = [] {
    std::ifstream file(SIXFOLD_TOOLS "/demo/club_match.txt");
    return reviewed(read({std::istreambuf_iterator<char>(file), {}}), standard());
  }();
  return kReview;
}

/// Two games for points: a double too early, and one that is passed wrongly.
MatchReview money_review() {
  return reviewed(read("player: Mara\nplayer: Ivo\n"
                       "game 1\n1 31: 8/5 6/5\n64: 24/14\n61: 13/7 8/7\n52: 13/8 24/22\n"
                       "double\npass\n"
                       "game 2\n1 31: 24/20\n64: 24/14\n"),
                  standard());
}

/// Its dear decisions rolled out by few trials.
MatchReview rolled(MatchReview review, double bound) {
  const ReviewTools tools{[](const Decision&) -> const Evaluator& { return standard(); },
                          instruments_of(standard()).tables, own_match_equities()};
  ReviewRoller roller;
  roller.plays = [](const RolloutQuestion& asked) -> std::optional<RolledDecision> {
    return roll_out_decision(instruments_of(standard()), asked.decision, asked.settings, {},
                             asked.wanted);
  };
  roller.cube = [](const RolloutQuestion& asked) {
    return roll_out_cube(instruments_of(standard()), asked.decision, asked.settings);
  };
  ReviewDepth depth{bound, few_trials().settings};
  roll_out_dear_turns(tools, roller, depth, review);
  return review;
}

/// The numbers of a balance's line in the JSON add up to its result.
void check_sum(const nlohmann::json& balance) {
  const auto lead = [&](const char* field) {
    return balance[field][0].get<double>() - balance[field][1].get<double>();
  };
  CHECK(balance["start"].get<double>() + lead("luck") - lead("cost_plays") - lead("cost_cube") +
            balance["disagreement"].get<double>() + balance.value("between_games", 0.0) ==
        Approx(balance["result"].get<double>()).margin(1e-12));
}

}  // namespace

TEST_CASE("A match's page has the JSON's numbers, and links that lead somewhere") {
  for (const MatchReview& review :
       {demo_review(), rolled(demo_review(), 0.2), money_review(), rolled(money_review(), 0.1)}) {
    const std::string page = page_of(review);
    const nlohmann::json json = json_of(review);
    CHECK(checked_numbers(page, json) > 50);
    const auto panels = static_cast<int>(std::min(kPanels, dearest_turns(review).size()));
    REQUIRE(panels > 1);
    CHECK(count_of("<section class=\"panel decision\">", page) == panels);
    // To each panel from the table, its game's chart, the chart of all games, and its turn; and
    // from it to its game and to the table.
    CHECK(checked_links(page) >= 6 * panels);
    for (const nlohmann::json& game : json["games"]) check_sum(game["balance"]);
    check_sum(json["balance"]);
    CHECK_THAT(page,
               !Catch::Contains("<script") && !Catch::Contains("src=") && !Catch::Contains("url("));
    CHECK_THAT(page, Catch::Contains("<pre>sixfold match 'a&lt;b.txt' --out page.html</pre>"));
  }
}

TEST_CASE("What was rolled out is told with its intervals, and the rest as static") {
  const std::string by_net = page_of(demo_review());
  CHECK_THAT(by_net, Catch::Contains("opinions, not rollouts") && !Catch::Contains("±"));
  const MatchReview review = rolled(demo_review(), 0.2);
  const std::string page = page_of(review);
  CHECK_THAT(page, Catch::Contains("what costs 0.2 or more") &&
                       Catch::Contains("All numbers of the rollout"));
  for (const ReviewedGame& game : review.games) {
    for (const ReviewedTurn& turn : game.turns)
      CHECK(turn.rolled.has_value() == turn.half_width.has_value());
  }
  const MatchReview money = rolled(money_review(), 0.1);
  const ReviewedTurn& pass = money.games[0].turns.back();
  REQUIRE(pass.kind == TurnKind::kPass);
  REQUIRE(pass.half_width);
  CHECK(pass.doubling->rolled);
  CHECK_THAT(page_of(money), Catch::Contains("Rolled out; players double by the cube model."));
}

TEST_CASE("Where the evaluator is exact luck and cost are all that moves the value of a turn") {
  const Position start = parse_position("6 5 3 / 6 4 2", 4);
  const SmallRace race(start);
  for (std::uint64_t number = 0; number < 10; ++number) {
    const MatchReview review = reviewed(random_race(start, number), race);
    const ReviewedGame& game = review.games.front();
    double value = game.start;
    for (const ReviewedTurn& turn : game.turns) {
      const double moved = (turn.luck.value_or(0.0) - turn.cost) * turn.worth;
      CHECK(turn.value == Approx(value + (turn.player == 0 ? moved : -moved)).margin(1e-12));
      value = turn.value;
    }
    CHECK(value == Approx(game.result).margin(1e-12));
  }
}

TEST_CASE("After an action of the cube the value is what that action gives") {
  std::size_t count = 0;
  for (const ReviewedGame& game : money_review().games) {
    for (const ReviewedTurn& turn : game.turns) {
      if (turn.kind == TurnKind::kPlay) continue;
      REQUIRE(turn.doubling);
      const CubeDecision& found = turn.doubling->equities;
      const bool is_answer = turn.kind != TurnKind::kDouble;
      const double equity = turn.kind == TurnKind::kTake   ? *found.double_take
                            : turn.kind == TurnKind::kPass ? *found.double_pass
                            : turn.done == CubeStep::kNoDouble
                                ? found.no_double
                                : std::min(*found.double_take, *found.double_pass);
      const int doubler = is_answer ? 1 - turn.player : turn.player;
      CHECK(turn.value == Approx(doubler == 0 ? equity : -equity).margin(1e-12));
      ++count;
    }
  }
  CHECK(count >= 2);
}

TEST_CASE("Names and comments are escaped in a match's page and in its Markdown") {
  MatchReview review = money_review();
  review.match.players = {"<script>alert(1)</script> & \"M\"", "I|v*o"};
  review.match.event = "<b>Evening</b>";
  review.match.games[0].comment = "<i>well</i>";
  review.complaints = {"game 3: <u>nothing</u>"};
  const std::string page = page_of(review);
  for (const char* markup : {"<script", "<b>Evening", "<i>well", "<u>"}) {
    CHECK_THAT(page, !Catch::Contains(markup));
  }
  CHECK_THAT(page, Catch::Contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;M&quot;") &&
                       Catch::Contains("game 3: &lt;u&gt;nothing&lt;/u&gt;"));
  checked_links(page);
  const std::string markdown = markdown_of(review);
  CHECK_THAT(markdown, Catch::Contains("I\\|v\\*o") && Catch::Contains("\\<script\\>"));
  CHECK_THAT(markdown, !Catch::Contains("I|v*o"));
}

TEST_CASE("Markdown, text, CSV and page tell the same decisions by the same numbers") {
  const MatchReview review = demo_review();
  const std::string page = page_of(review);
  const std::string markdown = markdown_of(review);
  const std::string text = review_text(review, kMadeBy);
  const std::string csv = review_csv(review, kMadeBy).lines;
  const std::vector<TurnInGame> dear = dearest_turns(review);
  for (std::size_t i = 0; i < kDearestShown; ++i) {
    const ReviewedTurn& turn = *dear[i].turn;
    const std::string cost = format("{:.3f}", turn.cost);
    const std::string moves = change_words(review.match, moved_by(turn));
    INFO("game " << dear[i].game->number << ", turn " << turn.number);
    CHECK_THAT(text, Catch::Contains(cost) && Catch::Contains(moves));
    CHECK_THAT(markdown, Catch::Contains(cost) && Catch::Contains(with_minus_sign(moves)));
    CHECK_THAT(page, Catch::Contains(">" + cost + "</data>") &&
                         Catch::Contains(">" + with_minus_sign(moves) + "</data>"));
    CHECK_THAT(csv, Catch::Contains(format("{:.6f}", turn.cost)));
  }
  CHECK_THAT(markdown, Catch::Contains("**Ivo won the match.**") && Catch::Contains("50.0%"));
  // A heading, two lines of a table's head, start, end, and twelve turns at most.
  for (std::size_t at = markdown.find("## Game"); at != std::string::npos;) {
    const std::size_t next = markdown.find("## Game", at + 1);
    CHECK(count_of("\n|", markdown.substr(at, next - at)) <= 2 + 2 + 12);
    at = next;
  }
}

TEST_CASE("A match without costly turns or without a game that was judged is told, too") {
  RecordedMatch best =
      money_game({play_turn(0, "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "31", "8/5 6/5")});
  const MatchReview faultless = reviewed(best, standard());
  CHECK_THAT(page_of(faultless), Catch::Contains("No decision cost anything.") &&
                                     Catch::Contains("The last game breaks off.") &&
                                     !Catch::Contains("class=\"panel decision\""));
  CHECK_THAT(markdown_of(faultless), Catch::Contains("No decision cost anything."));
  checked_links(page_of(faultless));
  CHECK(checked_numbers(page_of(faultless), json_of(faultless)) > 10);
  best.length = 40;
  const MatchReview too_long = reviewed(best, standard());
  REQUIRE(too_long.games.empty());
  for (const std::string& told : {page_of(too_long), markdown_of(too_long)}) {
    CHECK_THAT(told, Catch::Contains("No game could be judged.") && Catch::Contains("25 away"));
  }
  CHECK(checked_links(page_of(too_long)) == 0);
}

TEST_CASE("A match's result is told by what the record says of it") {
  RecordedMatch match = demo_review().match;
  CHECK(result_words(match) == "Ivo won the match.");
  match.games.pop_back();
  CHECK(result_words(match) == "The record ends at 1:2.");
  match.length = 0;
  CHECK(result_words(match) == "Ivo is a point ahead.");
  match.games[0].end.reset();
  CHECK(result_words(match) == "Mara is a point ahead.");
  match.games[1].end.reset();
  CHECK(result_words(match) == "Nobody is ahead. The last game breaks off.");
  match.games.clear();
  CHECK(result_words(match) == "No game is recorded.");
}

}  // namespace sixfold
