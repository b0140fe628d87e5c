// The page that a night's report opens with, and the lines that say what was found.
#include "report/page/night_page.h"

#include <catch2/catch.hpp>
#include <string>

#include "report/tables/csv.h"
#include "report/test_telling.h"
#include "rules/notation.h"
#include "rules/start.h"

namespace sixfold {
namespace {

Estimate estimate(double mean, double half_width) {
  return {mean, half_width / 2, half_width, 100};
}

/// 64 from the start, its two plays rolled out; what the second costs.
RolledDecision two_plays(Estimate cost) {
  RolledDecision rolled;
  rolled.decision = {start_position(), make_roll(6, 4), money_score()};
  for (const char* play : {"24/14", "24/18 13/9"}) {
    RolledPlay one;
    one.play = parse_play(rolled.decision.position, *rolled.decision.roll, play);
    rolled.result.plays.push_back(one);
  }
  rolled.result.plays[0].best_probability = 0.71;
  rolled.result.plays[1].cost = cost;
  return rolled;
}

const Finding kSettledFinding{"64 at money", "24/14 is best."};
const Finding kOpenFinding{"31 at dmp", "8/5 6/5 comes out best.", true, 0.71};

NightEntry entry(std::int64_t number, NightEntry::State state, std::vector<Finding> findings = {}) {
  NightEntry entry{{number, "Title " + std::to_string(number)}, state, std::move(findings)};
  if (!entry.findings.empty()) entry.sheet = "entry-" + std::to_string(number) + ".html";
  return entry;
}

NightReport night_of(std::vector<NightEntry> entries) {
  return {std::move(entries), {{"plays.csv", "plays"}}, kMadeBy, "sixfold queue report --db 'a<b'"};
}

using State = NightEntry::State;

}  // namespace

TEST_CASE("A night is told in the order settled, open, not done yet, failed") {
  NightEntry failed = entry(1, State::kFailed);
  failed.error = "blob <3> is damaged";
  const std::string page = night_html(night_of(
      {failed, entry(2, State::kWaiting), entry(3, State::kDone, {kOpenFinding, kSettledFinding}),
       entry(4, State::kDone, {kSettledFinding}), entry(5, State::kBegun, {kSettledFinding}),
       entry(6, State::kDone, {kSettledFinding})}));
  std::size_t last = 0;
  for (const char* part :
       {"<h2>Settled: 2</h2>", "Title 4", "Title 6", "<h2>Open: 1</h2>", "Title 3",
        "<h2>Not done yet: 2</h2>", "Title 2", "Title 5", "<h2>Failed: 1</h2>", "Title 1"}) {
    INFO(part);
    const std::size_t at = page.find(part);
    REQUIRE(at != std::string::npos);
    CHECK(page.find(part, at + 1) == std::string::npos);
    CHECK(at > last);
    last = at;
  }
  CHECK_THAT(page, Catch::Contains("6 entries: 2 settled, 1 open, 2 not done yet and 1 failed."));
  CHECK_THAT(page, Catch::Contains("blob &lt;3&gt; is damaged"));
  CHECK_THAT(page, Catch::Contains("href=\"entry-3.html\"") &&
                       !Catch::Contains("href=\"entry-1.html\"") &&
                       !Catch::Contains("href=\"entry-2.html\""));
}

TEST_CASE("A night says how sure each verdict is, what made it and what it took") {
  NightEntry open = entry(1, State::kDone, {kOpenFinding});
  open.trials = 1'234'000;
  open.seconds = 3.0 * 3600;
  NightEntry begun = entry(2, State::kBegun, {kSettledFinding});
  begun.trials = 567;
  begun.seconds = 0.5 * 3600;
  const std::string page = night_html(night_of({open, begun}));
  CHECK_THAT(page, Catch::Contains("class=\"is-open\">○ open</span>, 71%</span> <b>") &&
                       Catch::Contains("class=\"is-settled\">● settled</span></span> <b>"));
  CHECK_THAT(page, Catch::Contains("So far, after 567 trials."));
  CHECK_THAT(page, Catch::Contains("1,234,567 trials in 3.5 hours."));
  CHECK_THAT(page, Catch::Contains("Sixfold " + kMadeBy.version + " with net " + kMadeBy.net));
  CHECK_THAT(page, Catch::Contains("the percentage is the chance"));
  const std::string settled = night_html(night_of({begun}));
  CHECK_THAT(settled, Catch::Contains("1 entry: 1 not done yet. 567 trials in 30 minutes.") &&
                          !Catch::Contains("Open: another"));
}

TEST_CASE("What comes from outside is escaped on a night's page") {
  NightEntry one = entry(1, State::kDone, {kSettledFinding});
  one.name.title = "<script>alert(1)</script> & \"more\"";
  const std::string page = night_html(night_of({one}));
  CHECK_THAT(page, Catch::Contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;more&quot;"));
  CHECK_THAT(page, !Catch::Contains("<script") && !Catch::Contains("url(") &&
                       !Catch::Contains("src=") && !Catch::Contains("'a<b'"));
}

TEST_CASE("A finding is as certain as its interval") {
  const Finding settled = finding_of(two_plays(estimate(0.034, 0.008)));
  CHECK(settled.about == "64 at money");
  CHECK(settled.words == "24/14 is best; 24/18 13/9 costs 0.034 ± 0.008, a point in 29 games.");
  CHECK_FALSE(settled.is_open);
  CHECK_FALSE(settled.best_probability);
  const Finding open = finding_of(two_plays(estimate(0.004, 0.008)));
  CHECK(open.words == "24/14 comes out best; 24/18 13/9, 0.004 ± 0.008 behind, may be as good.");
  CHECK(open.is_open);
  CHECK(open.best_probability == 0.71);
  CHECK(finding_of(two_plays(estimate(0.0, 0.0))).words ==
        "24/14 and 24/18 13/9 are equally good.");
  CHECK_THAT(finding_of(two_plays(estimate(0.0016, 0.0014))).words,
             Catch::Contains("costs 0.0016 ± 0.0014"));
  CHECK_THAT(finding_of(two_plays(estimate(0.0109, 0.0099))).words,
             Catch::Contains("costs 0.011 ± 0.010"));
  // To a thousandth both would be 0.010.
  CHECK_THAT(finding_of(two_plays(estimate(0.0102, 0.0099))).words,
             Catch::Contains("costs 0.0102 ± 0.0099"));
  RolledDecision bound = two_plays({});
  bound.result.plays[1].at_least = 0.0839;
  CHECK_THAT(finding_of(bound).words, Catch::Contains("24/18 13/9 costs over 0.083, at least"));
  RolledDecision alone = two_plays({});
  alone.result.plays.resize(1);
  CHECK(finding_of(alone).words == "24/14 is the only legal play.");
}

TEST_CASE("Others that may be as good are counted") {
  RolledDecision rolled = two_plays(estimate(0.004, 0.008));
  rolled.result.plays.push_back(rolled.result.plays[1]);
  rolled.result.plays.push_back(rolled.result.plays[1]);
  CHECK_THAT(finding_of(rolled).words, Catch::EndsWith("may be as good, and so may 2 more."));
}

TEST_CASE("Lines of an entry's table begin with its number and title") {
  const Csv csv{"play,net\r\n", "24/14,\"a\r\n\"\"b\"\"\"\r\n8/5,c\r\n"};
  const Csv whole = entry_csv({7, "Slot, or split?"}, csv);
  CHECK(whole.heading == "entry,title,play,net\r\n");
  CHECK(whole.lines ==
        "7,\"Slot, or split?\",24/14,\"a\r\n\"\"b\"\"\"\r\n7,\"Slot, or split?\",8/5,c\r\n");
}

}  // namespace sixfold
