#include "train/sample.h"

#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "base/atomic_file.h"
#include "base/clean_text.h"
#include "base/format.h"
#include "base/input_error.h"
#include "report/json/sample_line.h"
#include "report/tables/npy.h"
#include "rules/start.h"
#include "tools/commands.h"
#include "tools/questions.h"
#include "tools/starts.h"

namespace sixfold::tools {
namespace {

using Sampled = std::vector<SampledPosition>;

std::string json_lines(const Sampled& positions) {
  std::string text;
  for (const SampledPosition& sampled : positions) text += sample_json(sampled) + "\n";
  return text;
}

/// By the ending of the file's name. Throws InputError where there is no such form.
std::string (*form_of(const std::string& file))(const Sampled&) {
  const std::string ending = std::filesystem::path(file).extension().string();
  if (ending == ".jsonl") return json_lines;
  if (ending == ".npy") return [](const Sampled& positions) { return sample_npy(positions); };
  throw InputError("a file of an unknown kind", "--out " + file, ".jsonl or .npy");
}

Engine engine_for(const SampleOptions& options) {
  PositionOptions wanted;
  wanted.net = options.net;
  wanted.cache = options.cache;
  wanted.instruction_set = options.instruction_set;
  wanted.quiet = options.quiet;
  return engine_of(wanted, options.threads);
}

/// What the options say, but for threads and progress. `checkers` are those of the net.
SampleSettings settings_of(const SampleOptions& options, int checkers) {
  SampleSettings settings;
  settings.positions = options.positions;
  settings.seed = options.seed;
  settings.checkers = options.checkers > 0 ? options.checkers : checkers;
  if (!options.from.empty()) settings.starts = read_starts(options.from, settings.checkers);
  settings.score = parse_score(options.score, own_match_equities());
  settings.exploration.share = options.explore;
  settings.trials = options.trials;
  return settings;
}

}  // namespace

int run_sample(const SampleOptions& options) {
  const auto told = form_of(options.out);
  PositionOptions read;
  read.net = options.net;
  files_of(read).reads(options.from).writes(options.out, "--out", options.force);
  Engine engine = engine_for(options);
  Core& core = engine.core();
  SampleSettings settings = settings_of(options, core.file().card.checkers);
  settings.threads = core.threads();
  settings.stop = &interrupted();
  ProgressLine progress(options.quiet);
  const auto start = std::chrono::steady_clock::now();
  settings.progress = [&](std::uint64_t finished) {
    if (!progress.is_due()) return;
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - start;
    const auto done = static_cast<double>(finished);
    const auto wanted = static_cast<double>(options.positions);
    progress.show(format("sampling {} positions: {:.0f}%, {} left", options.positions,
                         100.0 * done / wanted,
                         time_text(passed.count() * (wanted - done) / done)));
  };
  const Decision game{start_position(settings.checkers), std::nullopt, settings.score};
  const TrialPlayers players(core.evaluator_for(game, &interrupted()), core.luck());
  const Sampled positions = sample(players, settings);
  progress.clear();
  if (positions.empty()) {
    print("Stopped; nothing was written.\n");
    return kInterrupted;
  }
  write_file_atomically(options.out, told(positions));
  print(format("Wrote {}: {} positions\n", clean_line(options.out), positions.size()));
  return kDone;
}

}  // namespace sixfold::tools
