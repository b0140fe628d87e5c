#include <algorithm>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/atomic_file.h"
#include "base/format.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/tables/csv.h"
#include "report/text/review_text.h"
#include "report/words/review_words.h"
#include "tools/commands.h"
#include "tools/places.h"
#include "tools/questions.h"
#include "tools/queue/answers.h"
#include "tools/queue/match_night.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

void deepen(Core& core, const MatchOptions& options, MatchReview& review) {
  core.look_ahead(review, &interrupted());
  if (options.depth != "rollout" || interrupted()) return;
  Work work(options.common.quiet);
  core.deepen(review, {options.bound, core.settings(options.rolling)}, work.watch(),
              [&](std::size_t number, std::size_t count) {
                work.begin({format("rolling out decision {} of {}", number + 1, count),
                            options.rolling.half_width});
              });
  work.clear();
}

/// With a queue: the one that the queue is run with.
Engine engine_of_match(const MatchOptions& options, const std::optional<QueueFile>& night) {
  if (!night) return engine_of(options.common, options.threads);
  QueueOptions queue;
  queue.common = options.common;
  queue.threads = options.threads;
  return engine_for(*night, queue);
}

/// What is undecided is put into the queue, or is what the queue has found.
void ask(QueueFile& file, Core& core, const std::string& name, const MatchOptions& options,
         MatchReview& review) {
  const MatchNight night = ask_night(file, core, name, options.bound, review);
  note(format("{}: undecided decisions: {} put into it, {} waiting there, {} answered",
              options.queue, night.added, night.waiting, night.answered));
}

std::string lesson_file(const MatchOptions& options, std::size_t number) {
  return (std::filesystem::path(options.out) / format("decision-{}.json", number)).string();
}

/// Lesson files of the dearest decisions, the dearest first; says how many there are.
void write_lessons(const MatchOptions& options, const MatchReview& review) {
  std::vector<TurnInGame> dear = dearest_turns(review);
  std::erase_if(dear, [](const TurnInGame& each) { return !may_be_lesson(*each.turn); });
  const std::size_t count = std::min(dear.size(), static_cast<std::size_t>(options.lessons));
  for (std::size_t i = 0; i < count; ++i) {
    write_file_atomically(
        lesson_file(options, i + 1),
        decision_lesson_json(review.match, dear[i].game->number, *dear[i].turn) + "\n");
  }
  note(count == 0 ? std::string("no decision cost anything: no lesson files")
                  : format("{} lesson file{} {} in {}", count, count == 1 ? "" : "s",
                           count == 1 ? "is" : "are", options.out));
}

}  // namespace

int run_match(const MatchOptions& options) {
  Output output(options.common);
  if ((options.lessons > 0) == options.out.empty()) {
    throw InputError("lesson files have a number and a folder", "--lesson",
                     "it and --out FOLDER, or neither");
  }
  if (options.lessons > 0) require_folder_for_files(options.out, "--out", options.force);
  const std::string name = options.file == "-" ? "standard input" : options.file;
  const std::string text = text_of_file(options.file, "match file", "a recorded match");
  std::optional<QueueFile> night;
  if (!options.queue.empty()) night.emplace(options.queue, Database::Access::kCreate);
  Engine engine = engine_of_match(options, night);
  std::vector<std::string> notes;
  MatchReview review = reviewed_match(engine.core(), text, name, &interrupted(), notes);
  if (options.depth != "static") deepen(engine.core(), options, review);
  if (night) ask(*night, engine.core(), name, options, review);
  const auto tell = [&](const std::vector<std::string>& lines) {
    for (const std::string& line : lines) note(name + ", " + line);
  };
  tell(notes);
  tell(review.complaints);
  if (options.lessons > 0) write_lessons(options, review);
  const Provenance& made_by = engine.core().provenance();
  output.add([&] { return review_json(review, made_by); },
             [&] { return review_csv(review, made_by); },
             [&] { return review_text(review, made_by); });
  if (interrupted()) return kInterrupted;
  return review.complaints.empty() ? kDone : kBadInput;
}

}  // namespace sixfold::tools
