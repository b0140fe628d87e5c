#include "report/words/notes.h"

#include "base/format.h"
#include "report/words/phrases.h"

namespace sixfold {

std::string settings_text(const RolloutSettings& settings) {
  std::string text = settings.luck != LuckControl::kNone ? "luck-adjusted trials"
                     : settings.is_plain()               ? "plain trials"
                                                         : "trials";
  text += settings.truncate > 0 ? format(" cut after {} plies", settings.truncate)
                                : std::string(" to the end");
  if (settings.lookahead > 0) text += ", one roll of lookahead";
  return text + format(", seed {}", settings.seed);
}

std::string nets_words(const Provenance& made_by) {
  const std::string net = "net " + made_by.net;
  return made_by.opponent_net.empty() ? net : net + ", the opponent by net " + made_by.opponent_net;
}

std::string opponent_note(const Provenance& made_by) {
  if (made_by.opponent_net.empty()) return "";
  return "Against this opponent: the side that is not on roll plays, doubles and takes by net " +
         made_by.opponent_net +
         ". The side on roll plays as against anyone, and what is told holds against this opponent "
         "only.";
}

std::string settings_line(const RolloutSettings& settings, const Provenance& made_by) {
  return settings_text(settings) + ", " + nets_words(made_by);
}

std::string computed_words(const Lesson& lesson, const LessonTelling& telling) {
  const RolloutSettings& settings = lesson.plan.settings;
  std::string text = nets_words(telling.made_by) + ": " +
                     std::to_string(whole_blocks(settings.trials)) + " or more " +
                     settings_text(settings);
  if (settings.half_width > 0.0) {
    text += format(", until contested costs are known to ± {:g}", settings.half_width);
  }
  text += format("; intervals at {:g}% confidence; ", 100.0 * settings.confidence) +
          duration_words(telling.seconds) + ".";
  if (cube_of(lesson.plan)) text += std::string(" ") + kCubeNote;
  if (lesson.stopped) text += " Stopped early: this is what is known so far.";
  return text;
}

std::string interval_note(double confidence) {
  return format("± is the half-width of the {:g}% interval.", 100.0 * confidence);
}

std::string owner_text(const Cube& cube) {
  if (cube.owner == CubeOwner::kCentred) return "centred";
  return std::string(cube.owner == CubeOwner::kRoller ? "the roller's" : "the opponent's") +
         format(" at {}", cube.value);
}

std::string cube_words(const Cube& cube, const MoneyRules& money) {
  return owner_text(cube) + (money.jacoby ? ", Jacoby rule" : "") +
         (money.beavers ? ", beavers" : "");
}

std::string cube_use_text(const RolledCube& cube) {
  double passed_by_opponent = 0.0;
  double passed = 0.0;
  double turned = 0.0;
  for (const RolledCube::End& end : cube.ends) {
    if (end.end == kPassWon) passed_by_opponent += end.share.mean;
    if (end.end == kPassLost) passed += end.share.mean;
    if (end.turns > 0) turned += end.share.mean;
  }
  return format("passes by the opponent end {:.1f}% of games, ", 100.0 * passed_by_opponent) +
         format("passes of one's own {:.1f}%; ", 100.0 * passed) +
         format("the cube is turned and taken in {:.1f}%", 100.0 * turned);
}

}  // namespace sixfold
