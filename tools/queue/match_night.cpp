#include "tools/queue/match_night.h"

#include <algorithm>
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "base/format.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/words/names.h"
#include "rules/notation.h"
#include "study/review_parts.h"
#include "tools/places.h"
#include "tools/queue/answers.h"
#include "tools/queue/jobs.h"

namespace sixfold::tools {
namespace {

/// What two questions have in common that ask the same.
std::string key_of(const Decision& decision) {
  return format("{}; {}; {}; {}; {}{}", position_text(decision.position),
                decision.roll ? roll_text(*decision.roll) : "double", decision.score.name,
                asked_cube(decision.cube), decision.money.jacoby, decision.money.beavers);
}

bool is_undecided(const ReviewedTurn& turn, double bound) {
  if (!is_dear(turn, bound)) return false;
  return turn.judged_by != JudgedBy::kRollout || turn.cost <= turn.half_width.value_or(0.0);
}

/// The undecided turns of a review by what they ask; a double and its answer ask the same.
using Undecided = std::map<std::string, std::vector<ReviewedTurn*>>;

/// The decisions that an entry has finished. `answered` gets their keys.
void take_over(const Found& found, Undecided& undecided, std::set<std::string>& answered) {
  const auto answer = [&](const Decision& decision, const auto& result) {
    const std::string key = key_of(decision);
    const auto turns = undecided.find(key);
    if (turns == undecided.end()) return;
    for (ReviewedTurn* turn : turns->second) {
      if (judge_by(result, *turn)) answered.insert(key);
    }
  };
  for (const RolledDecision& cell : found.lesson.cells) {
    if (!cell.result.interrupted) answer(cell.decision, cell);
  }
  for (const CubeStudy& study : found.lesson.doubles) {
    if (!study.rolled || !study.rolled->interrupted) answer(study.decision, study);
  }
}

/// Whether a question is about all plays, or names the one that was played.
bool is_about(const RolloutQuestion& question, const std::vector<ReviewedTurn*>& turns) {
  const std::vector<PlayKey>& named = question.wanted.named;
  return !question.wanted.alone ||
         std::all_of(turns.begin(), turns.end(), [&](const ReviewedTurn* turn) {
           return std::find(named.begin(), named.end(), turn->played) != named.end();
         });
}

/// What an entry has found, and what it will answer. One that can't be read has nothing to do with
/// the others.
void ask_entry(QueueFile& file, Core& core, const Entry& entry, MatchReview& review,
               Undecided& undecided, std::set<std::string>& queued,
               std::set<std::string>& answered) {
  try {
    bool is_asked = false;
    for (const RolloutQuestion& question : read_entry(entry, core).job.questions) {
      const auto turns = undecided.find(key_of(question.decision));
      if (turns == undecided.end() || !is_about(question, turns->second)) continue;
      queued.insert(turns->first);
      is_asked = true;
    }
    if (!is_asked) return;
    take_over(found_of(file, entry, core), undecided, answered);
    add_up_sums(review);  // Here, since the next entry may be the last that can be read.
  } catch (const DatabaseError&) {
    throw;
  } catch (const InputError& error) {
    note(format("{}, entry {}: {}", file.name(), entry.id, error.what()));
  }
}

}  // namespace

MatchNight ask_night(QueueFile& file, Core& core, const std::string& name, double bound,
                     MatchReview& review) {
  Undecided undecided;
  std::vector<std::pair<std::string, NewEntry>> entries;  // In the order of play.
  for (ReviewedGame& game : review.games) {
    for (ReviewedTurn& turn : game.turns) {
      if (!is_undecided(turn, bound) || !may_be_lesson(turn)) continue;
      const std::string key = key_of(turn.decision);
      undecided[key].push_back(&turn);
      if (undecided[key].size() > 1) continue;
      Entry entry;
      entry.kind = Entry::Kind::kLesson;
      entry.source = format("{} game {} turn {}", name, game.number, turn.number);
      entry.input = decision_lesson_json(review.match, game.number, turn);
      entries.emplace_back(key, new_entry(std::move(entry), core));
    }
  }
  std::set<std::string> queued;
  std::set<std::string> answered;
  for (const Entry& entry : file.entries()) {
    if (!entry.error) ask_entry(file, core, entry, review, undecided, queued, answered);
  }
  std::vector<NewEntry> fresh;
  for (auto& [key, entry] : entries) {
    if (queued.count(key) == 0) fresh.push_back(std::move(entry));
  }
  return {answered.size(), queued.size() - answered.size(), file.add(fresh).size()};
}

}  // namespace sixfold::tools
