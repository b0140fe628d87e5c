#include "equity/score.h"

#include <algorithm>

#include "base/input_error.h"
#include "base/text_reader.h"

namespace sixfold {
namespace {

constexpr const char* kForms =
    "money, dmp, gammon-go, gammon-save or A-away/B-away, a side 1 away with crawford or "
    "post-crawford behind";

/// As scores are written, whatever was read.
std::string away_name(const MatchScore& away) {
  const std::string name =
      std::to_string(away.roller_away) + "-away/" + std::to_string(away.opponent_away) + "-away";
  if (away.phase == MatchPhase::kCrawford) return name + " crawford";
  const bool both_at_one = away.roller_away == 1 && away.opponent_away == 1;
  return away.phase == MatchPhase::kAfterCrawford && !both_at_one ? name + " post-crawford" : name;
}

Score at_match(std::string name, const MatchScore& away, const MatchEquityTable& table) {
  Score score;
  score.name = std::move(name);
  score.away = away;
  score.stakes = match_stakes(table, away, 1);
  const Stake& single = score.stakes.front();
  score.worth = equity_of(single, single.worth);
  score.match = Score::MatchChances{single.pass_lose, single.pass_win};
  return score;
}

int read_away(TextReader& reader, int most) {
  const auto number = reader.number();
  if (!number) reader.fail(reader.found(), kForms);
  if (*number < 1 || *number > most) {
    reader.fail_at_number(std::to_string(*number) + "-away is not in the table",
                          "1 to " + std::to_string(most) + " away");
  }
  if (!reader.accept("-away")) reader.fail(reader.found(), kForms);
  return *number;
}

MatchPhase read_phase(TextReader& reader, int roller_away, int opponent_away) {
  const int least = std::min(roller_away, opponent_away);
  reader.skip_blanks();
  MatchPhase phase = MatchPhase::kBeforeCrawford;
  if (reader.accept("crawford")) {
    phase = MatchPhase::kCrawford;
  } else if (reader.accept("post-crawford")) {
    phase = MatchPhase::kAfterCrawford;
  }
  reader.skip_blanks();
  if (!reader.at_end()) reader.fail(reader.found(), kForms);
  const bool both_at_one = roller_away == 1 && opponent_away == 1;
  if (phase == MatchPhase::kBeforeCrawford && both_at_one) return MatchPhase::kAfterCrawford;
  if (phase == MatchPhase::kBeforeCrawford && least == 1) {
    reader.fail("a side is 1 away", "crawford or post-crawford behind the score");
  }
  if (phase != MatchPhase::kBeforeCrawford && least != 1) {
    reader.fail("nobody is 1 away", "neither crawford nor post-crawford");
  }
  if (phase == MatchPhase::kCrawford && both_at_one) {
    reader.fail("both sides are 1 away", "no Crawford game, which comes before");
  }
  return phase;
}

}  // namespace

Score money_score() {
  Score score;
  score.name = "money";
  score.worth = kMoneyWorth;
  double value = 1.0;
  for (std::size_t k = 0; k < kMaxCubeSteps; ++k, value *= 2.0) {
    Stake stake;
    for (std::size_t i = 0; i < kOutcomeCount; ++i) stake.worth[i] = value * score.worth[i];
    stake.pass_lose = -value;
    stake.pass_win = value;
    stake.roller_may_double = stake.opponent_may_double = k + 1 < kMaxCubeSteps;
    score.stakes.push_back(stake);
  }
  return score;
}

Score parse_score(std::string_view text, const MatchEquityTable& table) {
  text = trimmed(text);
  const auto is = [&](std::string_view word) { return is_same_word(text, word); };
  if (is("money")) return money_score();
  if (is("dmp")) return at_match("dmp", {1, 1, MatchPhase::kAfterCrawford}, table);
  if (is("gammon-go")) return at_match("gammon-go", {2, 1, MatchPhase::kCrawford}, table);
  if (is("gammon-save")) return at_match("gammon-save", {1, 2, MatchPhase::kCrawford}, table);
  constexpr std::string_view kAway = "-away";
  const std::string_view ending = text.substr(text.size() - std::min(text.size(), kAway.size()));
  if (text.find('/') == std::string_view::npos && !is_same_word(ending, kAway)) {
    throw InputError("'" + std::string(text) + "' is not a known score", "score", kForms);
  }
  TextReader reader(text, "score");
  MatchScore away;
  away.roller_away = read_away(reader, table.most_away());
  reader.skip_blanks();
  if (!reader.accept('/')) reader.fail(reader.found(), kForms);
  reader.skip_blanks();
  away.opponent_away = read_away(reader, table.most_away());
  away.phase = read_phase(reader, away.roller_away, away.opponent_away);
  return at_match(away_name(away), away, table);
}

Score by_jacoby_rule(Score money) {
  money.stakes.front().worth = {-1, -1, -1, 1, 1, 1};
  return money;
}

GammonPrices gammon_prices(const OutcomeWorth& worth) noexcept {
  const double single = worth[3] - worth[2];
  return {(worth[4] - worth[3]) / single, (worth[2] - worth[1]) / single};
}

OutcomeWorth choosing_worth(OutcomeWorth worth) noexcept {
  constexpr double kLittle = 0.005;
  double won = 0.0;
  double lost = 0.0;
  const OutcomeWorth given = worth;
  for (std::size_t i = kOutcomeCount / 2 + 1; i < kOutcomeCount; ++i) {
    if (given[i] == given[i - 1]) won += kLittle;
    worth[i] += won;
    const std::size_t loss = kOutcomeCount - 1 - i;
    if (given[loss] == given[loss + 1]) lost += kLittle;
    worth[loss] -= lost;
  }
  return worth;
}

std::optional<double> match_winning_chance(const Score& score, double equity) noexcept {
  if (!score.match) return std::nullopt;
  return worth_at(score.stakes.front(), equity);
}

}  // namespace sixfold
