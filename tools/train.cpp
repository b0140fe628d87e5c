#include <cstdio>
#include <filesystem>

#include "exact/workers.h"
#include "rules/input_error.h"
#include "tools/commands.h"
#include "train/trainer.h"

namespace sixfold::tools {
namespace {

constexpr double kCheckpointSeconds = 5.0;
constexpr double kReportSeconds = 10.0;

/// A run with its files and clock.
class TrainingRun {
 public:
  explicit TrainingRun(const TrainOptions& options)
      : options_(options),
        checkpoint_(options.out + ".checkpoint"),
        trainer_(start(options, checkpoint_)),
        first_games_(trainer_.games()) {}

  int run() {
    // Written before any work, so that a place that cannot be written to shows at once.
    trainer_.save_checkpoint(checkpoint_);
    while (!trainer_.finished() && !interrupted()) {
      const IterationReport report = trainer_.run_iteration();
      add(report);
      if (seconds() - saved_at_ > kCheckpointSeconds) {
        trainer_.save_checkpoint(checkpoint_);
        saved_at_ = seconds();
      }
      if (report.strength || seconds() - shown_at_ > kReportSeconds) show(report);
    }
    if (!trainer_.finished()) {
      trainer_.save_checkpoint(checkpoint_);
      print("Interrupted after " + std::to_string(trainer_.games()) + " games; the state is in " +
            checkpoint_ + "; go on with --resume\n");
      return kInterrupted;
    }
    save_network(options_.out, trainer_.result());
    std::filesystem::remove(checkpoint_);
    print("Wrote " + options_.out + " after " + std::to_string(trainer_.games()) + " games\n");
    return kDone;
  }

 private:
  static Trainer start(const TrainOptions& options, const std::string& checkpoint) {
    if (options.out.empty()) throw InputError("no file to write", "--out", "a file name");
    if (std::filesystem::is_directory(options.out)) {
      throw InputError("a directory is there", options.out, "a file name");
    }
    const int threads = options.threads > 0 ? options.threads : available_threads();
    if (options.resume) {
      Trainer trainer = Trainer::resumed(checkpoint, threads);
      const bool other_games = options.games > 0 && trainer.recipe().games != options.games;
      if (trainer.recipe().name != options.recipe || trainer.seed() != options.seed ||
          trainer.checkers() != options.checkers || other_games) {
        throw InputError("holds another run: recipe " + trainer.recipe().name + ", seed " +
                             std::to_string(trainer.seed()) + ", " +
                             std::to_string(trainer.checkers()) + " checkers, " +
                             std::to_string(trainer.recipe().games) + " games",
                         checkpoint, "the options of the run to be resumed");
      }
      return trainer;
    }
    if (std::filesystem::exists(checkpoint)) {
      throw InputError("an unfinished run is there", checkpoint,
                       "--resume to go on with it, or the file removed");
    }
    Recipe recipe = recipe_named(options.recipe);
    if (options.games > 0) recipe.games = options.games;
    return Trainer(recipe, options.seed, options.checkers, threads);
  }

  [[nodiscard]] double seconds() {
    elapsed_ += watch_.lap();
    return elapsed_;
  }

  /// Gathers what is averaged over the games since the last line.
  void add(const IterationReport& report) {
    const auto games = static_cast<double>(report.games - counted_games_);
    weight_ += games;
    loss_ += report.loss * games;
    gammons_ += report.gammon_rate * games;
    plies_ += report.plies_per_game * games;
    counted_games_ = report.games;
  }

  void show(const IterationReport& report) {
    shown_at_ = seconds();
    const double rate = static_cast<double>(report.games - first_games_) / shown_at_;
    const double left = static_cast<double>(trainer_.recipe().games - report.games) / rate;
    char line[256];
    std::snprintf(line, sizeof line,
                  "%9llu games %6.0f/s  loss %.4f  gammons %.3f (predicted %.3f)  plies %.1f  "
                  "left %.0f s",
                  static_cast<unsigned long long>(report.games), rate, loss_ / weight_,
                  gammons_ / weight_, report.predicted_gammon_rate, plies_ / weight_, left);
    std::string text = line;
    if (report.strength) {
      std::snprintf(line, sizeof line,
                    "\n%9s points a game against the snapshot of %llu games: %+.3f ± %.3f", "",
                    static_cast<unsigned long long>(report.strength->snapshot_games),
                    report.strength->points_per_game, 1.96 * report.strength->standard_error);
      text += line;
    }
    if (!options_.quiet) print(text + "\n");
    weight_ = loss_ = gammons_ = plies_ = 0.0;
  }

  const TrainOptions& options_;
  std::string checkpoint_;
  Trainer trainer_;
  std::uint64_t first_games_;
  std::uint64_t counted_games_ = first_games_;
  Stopwatch watch_;
  double elapsed_ = 0.0;
  double saved_at_ = 0.0;
  double shown_at_ = 0.0;
  double weight_ = 0.0;
  double loss_ = 0.0;
  double gammons_ = 0.0;
  double plies_ = 0.0;
};

}  // namespace

int run_train(const TrainOptions& options) { return TrainingRun(options).run(); }

}  // namespace sixfold::tools
