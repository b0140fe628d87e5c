#include <cstdio>
#include <filesystem>

#include "base/atomic_file.h"
#include "base/clean_text.h"
#include "base/format.h"
#include "base/input_error.h"
#include "base/process_lock.h"
#include "base/workers.h"
#include "tools/commands.h"
#include "tools/progress.h"
#include "tools/starts.h"
#include "tools/terminal.h"
#include "train/cube_trainer.h"
#include "train/luck_trainer.h"
#include "train/trainer.h"

namespace sixfold::tools {
namespace {

constexpr double kCheckpointSeconds = 5.0;
constexpr double kReportSeconds = 1.0;

/// Where a run's state is kept until it is finished.
std::string checkpoint_of(const TrainOptions& options) { return options.out + ".checkpoint"; }

/// The learning curve is beside the network: mine.safetensors has mine.curve.csv and
/// mine.curve.svg.
std::string curve_of(const TrainOptions& options) {
  return std::filesystem::path(options.out).replace_extension("").string() + ".curve";
}

/// What a finished run writes.
std::vector<std::string> results_of(const TrainOptions& options) {
  std::vector<std::string> files{options.out};
  if (!options.luck_for.empty() || !options.cube_for.empty()) return files;
  files.push_back(curve_of(options) + ".csv");
  files.push_back(curve_of(options) + ".svg");
  return files;
}

std::string lock_file_of(const TrainOptions& options) { return options.out + ".lock"; }

/// Throws InputError for files that can't be written, or are read.
void require_outputs(const TrainOptions& options) {
  Files files;
  for (const std::string* read :
       {&options.from, &options.luck_for, &options.cube_for, &options.luck_by, &options.start}) {
    files.reads(*read);
  }
  // A run that is gone on with has asked before.
  for (const std::string& file : results_of(options)) {
    files.writes(file, "--out", options.force || options.resume);
  }
  files.writes(checkpoint_of(options), "--out", true);
  files.writes(lock_file_of(options), "--out", true);
}

/// One run for one file at a time. Throws InputError where another process has one.
ProcessLock lock_of(const TrainOptions& options) {
  require_outputs(options);
  return {lock_file_of(options), InputError("another process trains it", "--out " + options.out,
                                            "that to end first, or another file")};
}

/// Whether there is a run to be resumed. Throws InputError for an unfinished run that nobody asked
/// for.
bool resumes(const TrainOptions& options) {
  if (!options.resume && std::filesystem::exists(checkpoint_of(options))) {
    throw InputError("an unfinished run is there", checkpoint_of(options),
                     "--resume to go on with it, or the file removed");
  }
  return options.resume;
}

/// Throws InputError unless a resumed run is the one that the options ask for.
template <typename AnyTrainer>
void require_same_run(const TrainOptions& options, const AnyTrainer& trainer) {
  const bool other_games = options.games > 0 && trainer.recipe().games != options.games;
  if (trainer.recipe().name == options.recipe && trainer.seed() == options.seed && !other_games) {
    return;
  }
  throw InputError("holds another run: recipe " + trainer.recipe().name + ", seed " +
                       std::to_string(trainer.seed()) + ", " +
                       std::to_string(trainer.recipe().games) + " games",
                   checkpoint_of(options), "the options of the run to be resumed");
}

template <typename AnyRecipe>
AnyRecipe with_games(AnyRecipe recipe, const TrainOptions& options) {
  if (options.games > 0) recipe.games = options.games;
  return recipe;
}

int threads_of(const TrainOptions& options) {
  return options.threads > 0 ? options.threads : available_threads();
}

/// How many phases have networks of their own: one is races'.
std::size_t phases_of(const TrainOptions& options) {
  return options.split == 0 ? kFewestPhases : static_cast<std::size_t>(options.split) + 1;
}

/// Throws InputError for a width that no network has, and for options that don't go together.
Recipe recipe_of(const TrainOptions& options) {
  Recipe recipe = with_games(recipe_named(options.recipe), options);
  if (options.start.empty() == (recipe.name == "refine")) {
    throw InputError("refine, and nothing else, starts from a network", "--recipe",
                     options.start.empty() ? "--start NET, or another recipe" : "refine");
  }
  if (options.split != 0 && options.split != 3 && options.split != 5) {
    throw InputError(std::to_string(options.split) + " networks for contact", "--split", "3 or 5");
  }
  recipe.phases = phases_of(options);
  if (options.width == 0) return recipe;
  if (options.width < 0 || options.width % kHiddenStep != 0 || options.width > kMaxHidden) {
    throw InputError(
        std::to_string(options.width) + " hidden units", "--width",
        "a multiple of " + std::to_string(kHiddenStep) + " up to " + std::to_string(kMaxHidden));
  }
  recipe.contact_hidden = options.width;
  return recipe;
}

Specialty specialty_of(const TrainOptions& options) {
  Specialty specialty{{}, parse_score(options.score, own_match_equities()), std::nullopt, {}};
  if (!options.from.empty()) specialty.starts = read_starts(options.from, options.checkers);
  if (options.luck_by.empty()) return specialty;
  specialty.luck = load_network(options.luck_by).luck;
  if (!specialty.luck)
    throw InputError("has no luck networks", options.luck_by, "a file with them");
  return specialty;
}

Trainer start(const TrainOptions& options) {
  const Recipe recipe = recipe_of(options);
  Specialty specialty = specialty_of(options);
  std::optional<NetworkFile> parent;
  if (!options.start.empty()) {
    parent = load_network(options.start);
    if (parent->card.checkers != options.checkers) {
      throw InputError("is for " + std::to_string(parent->card.checkers) + " checkers a side",
                       options.start, std::to_string(options.checkers));
    }
  }
  if (!resumes(options)) {
    if (parent) {
      return Trainer(recipe, options.seed, *parent, threads_of(options), std::move(specialty));
    }
    return Trainer(recipe, options.seed, options.checkers, threads_of(options),
                   std::move(specialty));
  }
  if (parent) specialty.parent = network_identity(*parent);
  Trainer trainer = Trainer::resumed(checkpoint_of(options), threads_of(options));
  require_same_run(options, trainer);
  if (trainer.specialty() != specialty) {
    throw InputError(
        "holds another run: its start positions, score, luck networks or start are others",
        checkpoint_of(options), "the options of the run to be resumed");
  }
  const int hidden =
      recipe.contact_hidden == 0 ? parent->networks.contact.hidden : recipe.contact_hidden;
  if (trainer.recipe().contact_hidden != hidden) {
    throw InputError(
        "holds another run: " + std::to_string(trainer.recipe().contact_hidden) + " hidden units",
        checkpoint_of(options), "the options of the run to be resumed");
  }
  const std::size_t phases = std::max(phases_of(options), parent ? parent->networks.phases() : 0);
  if (trainer.recipe().phases != phases) {
    throw InputError("holds another run: " + std::to_string(trainer.recipe().phases) + " networks",
                     checkpoint_of(options), "the options of the run to be resumed");
  }
  if (trainer.checkers() != options.checkers) {
    throw InputError("holds another run: of " + std::to_string(trainer.checkers()) + " checkers",
                     checkpoint_of(options), "the options of the run to be resumed");
  }
  return trainer;
}

/// Throws InputError for options of a new evaluator beside `flag`, which asks for a part of a
/// finished one.
void require_part_options(const TrainOptions& options, const std::string& flag,
                          const std::string& part) {
  const auto refuse = [&](const std::string& complaint, const char* option) {
    throw InputError(part + complaint, option, "no " + flag + " beside it");
  };
  if (!options.from.empty()) refuse(" learn from whole games", "--from");
  if (options.score != "money") refuse(" learn from games for money", "--score");
  if (!options.luck_by.empty()) refuse(" take luck out by themselves", "--luck-by");
  if (options.width != 0) refuse(" have the recipe's or the evaluator's widths", "--width");
  if (options.split != 0) refuse(" have the recipe's or the evaluator's phases", "--split");
  if (!options.start.empty()) refuse(" start from nothing", "--start");
}

/// A new or resumed run for a part of the finished evaluator `net`. `flag` names that, `part` is
/// what messages call it.
template <typename PartTrainer, typename RecipeNamed>
PartTrainer start_part(const TrainOptions& options, const std::string& net, const std::string& flag,
                       const std::string& part, RecipeNamed recipe_named) {
  require_part_options(options, flag, part);
  NetworkFile evaluator = load_network(net);
  if (!resumes(options)) {
    return PartTrainer(with_games(recipe_named(options.recipe), options), std::move(evaluator),
                       options.seed, threads_of(options));
  }
  PartTrainer trainer =
      PartTrainer::resumed(checkpoint_of(options), std::move(evaluator), threads_of(options));
  require_same_run(options, trainer);
  return trainer;
}

/// What is shown of a run: a line on a terminal, with averages over the games since it was last
/// written, and each comparison with a snapshot as a line of its own.
class Progress {
 public:
  Progress(bool quiet, std::uint64_t games, std::uint64_t planned)
      : quiet_(quiet),
        line_(quiet),
        first_games_(games),
        counted_games_(games),
        planned_(planned) {}

  void add(const IterationReport& report) {
    const double games = count(report.games);
    loss_ += report.loss * games;
    gammons_ += report.gammon_rate * games;
    if (report.strength && !quiet_) {
      line_.clear();
      print(format("After {} games: {:+.3f} ± {:.3f} points a game against those of {} games\n",
                   report.games, report.strength->points_per_game,
                   1.96 * report.strength->standard_error, report.strength->snapshot_games));
    }
    if (!due()) return;
    show(format("loss {:.4f}, gammons {:.3f}", loss_ / weight_, gammons_ / weight_));
    loss_ = gammons_ = 0.0;
  }

  void add(const LuckIterationReport& report) {
    const double games = count(report.games);
    contact_ += report.contact_explained * games;
    race_ += report.race_explained * games;
    if (!due()) return;
    show(format("luck explained {:.3f}, races {:.3f}", contact_ / weight_, race_ / weight_));
    contact_ = race_ = 0.0;
  }

  void add(const CubeIterationReport& report) {
    const double games = count(report.games);
    contact_ += report.contact_error * games;
    race_ += report.race_error * games;
    if (!due()) return;
    show(format("with the cube off by {:.3f}, in races {:.3f}", contact_ / weight_,
                race_ / weight_));
    contact_ = race_ = 0.0;
  }

  void clear() { line_.clear(); }

 private:
  double count(std::uint64_t games) {
    const auto more = static_cast<double>(games - counted_games_);
    counted_games_ = games;
    weight_ += more;
    return more;
  }
  bool due() { return line_.visible() && seconds() - shown_at_ > kReportSeconds; }
  double seconds() {
    elapsed_ += watch_.lap();
    return elapsed_;
  }
  void show(const std::string& averages) {
    shown_at_ = seconds();
    weight_ = 0.0;
    const double rate = static_cast<double>(counted_games_ - first_games_) / shown_at_;
    line_.show(format("training: {} of {} games, {}, {} left", counted_games_, planned_, averages,
                      time_text(static_cast<double>(planned_ - counted_games_) / rate)));
  }

  bool quiet_;
  ProgressLine line_;
  std::uint64_t first_games_;
  std::uint64_t counted_games_;
  std::uint64_t planned_;
  Stopwatch watch_;
  double elapsed_ = 0.0;
  double shown_at_ = 0.0;
  double weight_ = 0.0;
  double loss_ = 0.0;
  double gammons_ = 0.0;
  double contact_ = 0.0;
  double race_ = 0.0;
};

void save_curve(const TrainOptions& options, const Trainer& trainer) {
  const std::string title = trainer.recipe().name + ", seed " + std::to_string(trainer.seed()) +
                            ": " + std::to_string(trainer.games()) + " games";
  write_file_atomically(curve_of(options) + ".csv", curve_csv(trainer.curve()));
  write_file_atomically(curve_of(options) + ".svg", curve_svg(trainer.curve(), title));
}
void save_curve(const TrainOptions&, const LuckTrainer&) {}
void save_curve(const TrainOptions&, const CubeTrainer&) {}

/// Runs to the end or to an interruption, saving the state now and then.
template <typename AnyTrainer>
int run_to_end(AnyTrainer trainer, const TrainOptions& options) {
  const std::string checkpoint = checkpoint_of(options);
  // Written before any work, so that a place that cannot be written to shows at once.
  trainer.save_checkpoint(checkpoint);
  Progress progress(options.quiet, trainer.games(), trainer.recipe().games);
  Stopwatch watch;
  double since_save = 0.0;
  while (!trainer.finished() && !interrupted()) {
    progress.add(trainer.run_iteration());
    since_save += watch.lap();
    if (since_save > kCheckpointSeconds) {
      trainer.save_checkpoint(checkpoint);
      since_save = 0.0;
    }
  }
  progress.clear();
  if (!trainer.finished()) {
    trainer.save_checkpoint(checkpoint);
    print("Interrupted after " + std::to_string(trainer.games()) + " games; the state is in " +
          clean_line(checkpoint) + "; go on with --resume\n");
    return kInterrupted;
  }
  save_network(options.out, trainer.result());
  save_curve(options, trainer);
  std::filesystem::remove(checkpoint);
  print("Wrote " + clean_line(options.out) + " after " + std::to_string(trainer.games()) +
        " games\n");
  return kDone;
}

}  // namespace

int run_train(const TrainOptions& options) {
  if (options.out.empty()) throw InputError("no file to write", "--out", "a file name");
  const ProcessLock lock = lock_of(options);
  require_outputs(options);  // Another run may have ended in between.
  if (!options.luck_for.empty() && !options.cube_for.empty()) {
    throw InputError("luck networks and heads for the cube are trained one after the other",
                     "--cube-for", "no --luck-for beside it");
  }
  if (!options.luck_for.empty()) {
    return run_to_end(start_part<LuckTrainer>(options, options.luck_for, "--luck-for",
                                              "luck networks", luck_recipe_named),
                      options);
  }
  if (!options.cube_for.empty()) {
    return run_to_end(start_part<CubeTrainer>(options, options.cube_for, "--cube-for",
                                              "heads for the cube", cube_recipe_named),
                      options);
  }
  return run_to_end(start(options), options);
}

}  // namespace sixfold::tools
