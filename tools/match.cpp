#include <algorithm>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "base/atomic_file.h"
#include "base/format.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/page/match_page.h"
#include "report/tables/csv.h"
#include "report/tables/review_markdown.h"
#include "report/text/review_text.h"
#include "report/words/review_words.h"
#include "tools/commands.h"
#include "tools/places.h"
#include "tools/questions.h"
#include "tools/queue/answers.h"
#include "tools/queue/match_night.h"
#include "tools/sheets.h"
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

/// What is undecided is put into the queue, or is what the queue has found. Returns why it is not:
/// what has been judged is told nevertheless.
std::optional<InputError> ask(QueueFile& file, Core& core, const std::string& name,
                              const MatchOptions& options, MatchReview& review) {
  MatchNight night;
  try {
    night = ask_night(file, core, name, options.bound, review);
  } catch (const InputError& error) {
    return error;
  }
  note(format("{}: undecided decisions: {} put into it, {} waiting there, {} answered",
              options.queue, night.added, night.waiting, night.answered));
  return std::nullopt;
}

std::string lesson_file(const std::string& folder, std::size_t number) {
  return (std::filesystem::path(folder) / format("decision-{}.json", number)).string();
}

/// What --out names.
struct Outs {
  std::vector<std::string> sheets;
  std::string folder;  ///< Of lesson files; empty: none are wanted.
};
/// Refuses, before any work is done, what could not be written or would write over something else.
Outs outs_of(const MatchOptions& options) {
  Files files = files_of(options.common);
  files.reads(options.file).reads(options.queue);
  Outs outs;
  for (const std::string& out : options.outs) {
    if (is_sheet(out)) {
      files.writes(out, "--out", options.force);
      outs.sheets.push_back(out);
    } else if (options.lessons == 0) {
      throw InputError("is neither .html, .md, .csv nor .json", "--out " + out,
                       "one of these endings, or --lesson N for a folder of lesson files");
    } else if (!outs.folder.empty()) {
      throw InputError("is a second folder", "--out " + out, "one for the lesson files");
    } else {
      outs.folder = out;
    }
  }
  if (options.lessons == 0) return outs;
  if (outs.folder.empty()) {
    throw InputError("lesson files have no folder", "--lesson", "it and --out FOLDER");
  }
  require_folder_for_files(outs.folder, "--out", options.force);
  for (int i = 1; i <= options.lessons; ++i) {
    files.writes(lesson_file(outs.folder, static_cast<std::size_t>(i)), "--lesson", options.force);
  }
  return outs;
}

/// Lesson files of the dearest decisions, the dearest first; says how many there are.
void write_lessons(const MatchOptions& options, const std::string& folder,
                   const MatchReview& review) {
  std::vector<TurnInGame> dear = dearest_turns(review);
  std::erase_if(dear, [](const TurnInGame& each) { return !may_be_lesson(*each.turn); });
  const std::size_t count = std::min(dear.size(), static_cast<std::size_t>(options.lessons));
  for (std::size_t i = 0; i < count; ++i) {
    write_file_atomically(
        lesson_file(folder, i + 1),
        decision_lesson_json(review.match, dear[i].game->number, *dear[i].turn) + "\n");
  }
  note(count == 0 ? std::string("no decision cost anything: no lesson files")
                  : format("{} lesson file{} {} in {}", count, count == 1 ? "" : "s",
                           count == 1 ? "is" : "are", folder));
}

}  // namespace

int run_match(const MatchOptions& options) {
  Output output(options.common);
  const Outs outs = outs_of(options);
  const std::string name = options.file == "-" ? "standard input" : options.file;
  const std::string text = text_of_file(options.file, "match file", "a recorded match");
  std::optional<QueueFile> night;
  if (!options.queue.empty()) night.emplace(options.queue, Database::Access::kCreate);
  Engine engine = engine_of_match(options, night);
  std::vector<std::string> notes;
  MatchReview review = reviewed_match(engine.core(), text, name, &interrupted(), notes);
  if (options.depth != "static") deepen(engine.core(), options, review);
  std::optional<InputError> error;
  if (night) error = ask(*night, engine.core(), name, options, review);
  const auto tell = [&](const std::vector<std::string>& lines) {
    for (const std::string& line : lines) note(name + ", " + line);
  };
  tell(notes);
  tell(review.complaints);
  if (options.lessons > 0) write_lessons(options, outs.folder, review);
  const Provenance& made_by = engine.core().provenance();
  // Sheets first: that the report can't be printed loses nothing.
  const WrittenSheets written = write_sheets(outs.sheets, [&](const std::string& kind) {
    return kind == ".html"  ? review_html(review, made_by, options.command)
           : kind == ".md"  ? review_markdown(review, made_by, options.command)
           : kind == ".csv" ? review_csv(review, made_by).text()
                            : review_json(review, made_by) + "\n";
  });
  output.add([&] { return review_json(review, made_by); },
             [&] { return review_csv(review, made_by); },
             [&] { return review_text(review, made_by) + written.told; });
  if (!error) error = written.error;
  if (error) throw *error;
  if (interrupted()) return kInterrupted;
  return review.complaints.empty() ? kDone : kBadInput;
}

}  // namespace sixfold::tools
