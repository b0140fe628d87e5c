#include "base/format.h"
#include "report/json/json_parts.h"
#include "report/json/json_report.h"
#include "report/words/names.h"
#include "report/words/review_words.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

Json balance_json(const MatchReview& review, const ReviewBalance& balance) {
  Json json{{"start", balance.start},
            {"result", balance.result},
            {"luck", balance.sums.luck},
            {"cost_plays", balance.sums.cost_plays},
            {"cost_cube", balance.sums.cost_cube},
            {"disagreement", balance.disagreement}};
  if (has_rollouts(review)) {
    json["cost_half_width"] = balance.sums.half_width;
    json["disagreement_half_width"] = balance.sums.lead_half_width;
  }
  return json;
}

/// Of the whole match.
Json whole_balance_json(const MatchReview& review) {
  const ReviewBalance balance = balance_of(review);
  Json json = balance_json(review, balance);
  json["between_games"] = balance.between_games;
  return json;
}

/// The static values of a play.
Json static_json(const Decision& decision, const EvaluatedPlay& play) {
  Json json{{"play", play_text(decision.position, *decision.roll, play.play)},
            {"outcomes", outcomes_json(play.outcomes)},
            {"equity", play.equity},
            {"cubeless_equity", play.cubeless_equity}};
  if (const auto chance = match_chance(decision, play.equity)) {
    json["match_winning_chance"] = *chance;
  }
  return json;
}

/// What a decision that cost something was between.
void add_choices(Json& json, const ReviewedTurn& turn, const Provenance& made_by) {
  for (const EvaluatedPlay& play : turn.plays) {
    json["static"].push_back(static_json(turn.decision, play));
  }
  if (turn.rolled) {
    for (std::size_t i = 0; i < turn.rolled->result.plays.size(); ++i) {
      json["rolled"].push_back(rolled_play_json(*turn.rolled, i, true));
    }
  }
  if (turn.doubling) json["doubling"] = cube_object(*turn.doubling, made_by, {});
}

Json turn_json(const ReviewedTurn& turn, const Provenance& made_by) {
  Json json{{"turn", turn.number}, {"player", turn.player}, {"kind", kind_name(turn.kind)}};
  json["position"] = position_text(turn.decision.position);
  if (turn.decision.roll) json["dice"] = roll_text(*turn.decision.roll);
  json["played"] = played_text(turn);
  json["best"] = best_text(turn);
  json["cost"] = turn.cost;
  json["judged_by"] = judge_name(turn.judged_by);
  if (turn.half_width) json["cost_half_width"] = *turn.half_width;
  if (turn.luck) json["luck"] = *turn.luck;
  if (turn.is_forced) json["forced"] = true;
  json["score"] = turn.decision.score.name;
  add_cube(json, turn.decision.cube, turn.decision.money);
  json["moves"] = moved_by(turn);
  json["value"] = turn.value;
  if (turn.cost > 0.0) add_choices(json, turn, made_by);
  return json;
}

Json game_json(const MatchReview& review, const ReviewedGame& reviewed, const Provenance& made_by) {
  const RecordedGame& game = review.match.games[reviewed.number - 1];
  Json json{{"game", reviewed.number}, {"score", game.score}};
  if (game.is_crawford) json["crawford"] = true;
  json["winner"] = game.end ? Json(game.end->winner) : Json();
  json["points"] = game.end ? Json(game.end->points) : Json();
  if (game.end && game.end->by_resignation) json["by_resignation"] = true;
  json["balance"] = balance_json(review, balance_of(reviewed));
  json["turns"] = Json::array();
  for (const ReviewedTurn& turn : reviewed.turns) {
    json["turns"].push_back(turn_json(turn, made_by));
  }
  return json;
}

}  // namespace

bool may_be_lesson(const ReviewedTurn& turn) noexcept {
  const std::optional<Cube>& cube = turn.decision.cube;
  return !(cube && cube->owner == CubeOwner::kCentred && cube->value > 1);
}

std::string decision_lesson_json(const RecordedMatch& match, std::size_t game,
                                 const ReviewedTurn& turn) {
  const std::string& player = match.players[static_cast<std::size_t>(turn.player)];
  const std::string dice = turn.decision.roll ? roll_text(*turn.decision.roll) : "";
  Json json;
  json["title"] = format("Game {}, turn {}: {}, {}", game, turn.number, player,
                         dice.empty() ? std::string(kind_name(turn.kind)) : dice);
  json["notes"] = format("{} chose {}.", player, played_text(turn));
  json["position"] = position_text(turn.decision.position);
  json["scores"] = {turn.decision.score.name};
  json["cube"] = asked_cube(turn.decision.cube);
  if (turn.decision.money.jacoby) json["jacoby"] = true;
  if (turn.decision.money.beavers) json["beavers"] = true;
  if (turn.kind != TurnKind::kPlay) {
    json["double"] = true;
    return line_of(json);
  }
  Json roll{{"dice", dice}, {"plays", {played_text(turn)}}};
  if (!(turn.best == turn.played)) roll["plays"].push_back(best_text(turn));
  json["rolls"] = Json::array({roll});
  return line_of(json);
}

std::string review_json(const MatchReview& review, const Provenance& made_by) {
  Json json{{"schema", "sixfold.match/1"},
            {"players", review.match.players},
            {"length", review.match.length},
            {"net", made_by.net},
            {"depth", depth_name(review)}};
  if (review.depth) {
    json["bound"] = review.depth->bound;
    json["seed"] = review.depth->settings.seed;
    json["settings"] = settings_json(review.depth->settings);
  }
  if (review.interrupted) json["interrupted"] = true;
  json["games"] = Json::array();
  for (const ReviewedGame& game : review.games) {
    json["games"].push_back(game_json(review, game, made_by));
  }
  json["totals"] = Json::array();
  for (const PlayerTotals& total : review.totals) {
    Json entry{{"cost_plays", total.cost_plays}, {"cost_cube", total.cost_cube}};
    if (has_rollouts(review)) entry["cost_half_width"] = total.half_width;
    entry["decisions"] = total.decisions;
    entry["luck"] = total.luck;
    json["totals"].push_back(std::move(entry));
  }
  if (!review.games.empty()) json["balance"] = whole_balance_json(review);
  if (!review.complaints.empty()) json["complaints"] = review.complaints;
  return line_of(json);
}

}  // namespace sixfold
