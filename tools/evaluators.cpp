#include "tools/evaluators.h"

#include <cstdio>
#include <cstdlib>

namespace sixfold::tools {
namespace {

std::filesystem::path usual_cache() {
  const auto variable = [](const char* name) {
    const char* value = std::getenv(name);
    return std::filesystem::path(value == nullptr ? "" : value);
  };
  // As the XDG Base Directory Specification has it.
  if (const auto cache = variable("XDG_CACHE_HOME"); cache.is_absolute()) return cache / "sixfold";
  if (const auto home = variable("HOME"); !home.empty()) return home / ".cache" / "sixfold";
  return {};
}

void note(const std::string& line) { std::fprintf(stderr, "sixfold: %s\n", line.c_str()); }

ExactTables bear_off_tables(const PositionOptions& options, TableCache& cache) {
  ProgressLine progress(options.quiet);
  if (!cache.has(OneSidedTable::cache_name(options.race_points))) {
    progress.show("computing bear-off tables, once");
  }
  Workers workers(available_threads());
  return ExactTables::bear_offs(options.race_points, workers, cache);
}

}  // namespace

TableCache table_cache(const std::string& directory) {
  return TableCache(directory.empty() ? usual_cache() : std::filesystem::path(directory), note);
}

Evaluators::Evaluators(const PositionOptions& options)
    : net_(load_net(options.net, options.instruction_set)),
      cache_(table_cache(options.cache)),
      tables_(bear_off_tables(options, cache_)),
      luck_(net_.file.luck ? std::make_unique<NetworkLuck>(*net_.file.luck, net_.level) : nullptr),
      fifteen_(net_.evaluator(tables_)) {}

const Evaluator& Evaluators::at(const Decision& decision) {
  const int checkers = decision.position.roller.total();
  if (checkers > SolvedGame::kMostCheckers) return *fifteen_;
  // At the cube's present value: where it is turned at a match score, later play is another.
  Score score = decision.score;
  if (score.match && decision.cube) score.worth = cubeless_worth(score, *decision.cube);
  auto& evaluator = few_checkers_[{checkers, score.worth}];
  if (!evaluator) {
    ExactTables tables = tables_;
    tables.game = solved(checkers, score);
    evaluator = net_.evaluator(tables);
  }
  return *evaluator;
}

std::shared_ptr<const SolvedGame> Evaluators::solved(int checkers, const Score& score) {
  Workers workers(available_threads());
  std::optional<SolvedGame> game;
  if (checkers < SolvedGame::kMostCheckers) {
    SolvedGame::Settings settings;
    settings.checkers = checkers;
    settings.worth = score.worth;
    settings.stop = &interrupted();
    game = SolvedGame::solve(settings, workers);
  } else if (score.worth == SolvedGame::Settings().worth) {
    game = SolvedGame::from_cache(checkers, cache_);
    if (!game) note("the game of three checkers is not solved yet: see `sixfold solve`");
  }
  return game ? std::make_shared<SolvedGame>(std::move(*game)) : nullptr;
}

}  // namespace sixfold::tools
