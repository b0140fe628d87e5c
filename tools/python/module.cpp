// The Python module's compiled half: an Engine that takes requests as JSON and answers in the JSON
// that the commands print, and positions as arrays. tools/python/sixfold makes typed results of it.
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

#include "base/format.h"
#include "base/input_error.h"
#include "report/json/json_report.h"
#include "report/json/lesson_file.h"
#include "report/json/request.h"
#include "rules/notation.h"
#include "tools/places.h"
#include "tools/progress.h"
#include "tools/python/arrays.h"
#include "tools/python/long_work.h"
#include "tools/questions.h"

namespace py = pybind11;

namespace sixfold::python {
namespace {

using tools::Asked;

/// An answer as JSON, empty where there is none, and whether Ctrl-C cut it short.
using Answer = std::pair<std::string, bool>;

/// Notes become warnings. They come from any thread.
void warn(const std::string& line) {
  const py::gil_scoped_acquire locked;
  try {
    py::module_::import("warnings").attr("warn")(line);
  } catch (py::error_already_set& error) {
    error.discard_as_unraisable("a note of sixfold");
  }
}

EngineOptions options_of(const std::string& net, const std::string& opponent_net,
                         const std::optional<std::string>& cache, int threads,
                         const std::string& isa, const std::string& match_table, int race_points) {
  if (threads < 0 || threads > 1024) {
    throw InputError(format("{} threads", threads), "threads", "1 to 1024, or 0: all");
  }
  if (race_points != 0 && (race_points < 6 || race_points > 10)) {
    throw InputError(format("a table to the {} point", race_points), "race_points", "6 to 10");
  }
  EngineOptions options;
  options.net = net;
  options.opponent_net = opponent_net;
  options.match_table = match_table;
  options.cache = tools::cache_directory(cache.value_or(""));
  options.threads = threads;
  options.instruction_set = isa;
  options.race_points = race_points;
  options.note = warn;
  return options;
}

/// The one question of a request.
Asked asked_in(const std::string& line, const tools::PositionOptions& options, const Core& core) {
  std::string id = "null";
  const auto all = tools::asked_in(line, options, {}, core.match_table(), id);
  if (all.size() > 1) throw InputError("several scores", "score", "one; lessons have several");
  return all.front();
}

/// An Engine that Python's threads share, one at a time.
class SharedEngine {
 public:
  explicit SharedEngine(const EngineOptions& options) : engine_(options) {}

  /// Calls use(engine) without the interpreter's lock.
  template <typename Use>
  auto with(Use use) {
    require_own_process();
    std::unique_lock lock(mutex_, std::defer_lock);
    while (!is_locked(lock)) {
      if (PyErr_CheckSignals() != 0) throw py::error_already_set();
    }
    const py::gil_scoped_release unlocked;
    return use(engine_);
  }
  /// The same of work that takes long; use(engine, watch) answers with JSON.
  template <typename Use>
  Answer watched(const py::object& progress, Use use) {
    require_own_process();
    std::string text;
    const WorkEnd end = run_watched(progress, [&](const Watch& watch) {
      std::unique_lock lock(mutex_, std::defer_lock);
      while (!lock.try_lock_for(kLookEvery)) {
        if (*watch.stop) return;  // Another thread's work goes on.
      }
      text = use(engine_, watch);
    });
    return {std::move(text), end == WorkEnd::kInterrupted};
  }

 private:
  static constexpr std::chrono::milliseconds kLookEvery{50};

  /// Waits a little, without the interpreter's lock, for others who use the engine.
  static bool is_locked(std::unique_lock<std::timed_mutex>& lock) {
    if (lock.try_lock()) return true;
    const py::gil_scoped_release unlocked;
    return lock.try_lock_for(kLookEvery);
  }
  void require_own_process() const {
    if (getpid() != process_) {
      throw std::runtime_error(
          "an Engine does not follow a fork: its threads stay behind; make one in each process");
    }
  }

  pid_t process_ = getpid();
  std::timed_mutex mutex_;
  Engine engine_;
};

std::string evaluate(SharedEngine& shared, const std::string& line) {
  return shared.with([&](Engine& engine) {
    const Asked asked = asked_in(line, {}, engine.core());
    const EvaluationAnswer answer = engine.evaluate(asked.question);
    return evaluation_json(answer.study(), {engine.core().provenance(), 0.0, asked.facts},
                           asked.name());
  });
}

Answer roll_out(SharedEngine& shared, const std::string& line, const py::object& progress) {
  return shared.watched(progress, [&](Engine& engine, const Watch& watch) {
    const Asked asked = asked_in(line, tools::request_options(false), engine.core());
    tools::Stopwatch stopwatch;
    const RolloutAnswer answer = engine.rollout(asked.question, asked.rolling, watch);
    const Telling telling{engine.core().provenance(), stopwatch.lap(), false, asked.ledger};
    return rollout_json(answer.study(), telling, asked.name());
  });
}

Answer decide_cube(SharedEngine& shared, const std::string& line, const py::object& progress) {
  return shared.watched(progress, [&](Engine& engine, const Watch& watch) {
    const Asked asked = asked_in(line, tools::request_options(true), engine.core());
    const auto rolling = asked.asks_for_trials ? std::optional(asked.rolling) : std::nullopt;
    const std::optional<CubeAnswer> answer = engine.cube(asked.question, rolling, watch);
    return answer ? cube_json(answer->study(), engine.core().provenance(), asked.name())
                  : std::string();
  });
}

Answer teach(SharedEngine& shared, const std::string& text, const std::string& where,
             const py::object& progress) {
  return shared.watched(progress, [&](Engine& engine, const Watch& watch) {
    Core& core = engine.core();
    const LessonPlan plan =
        parse_lesson(text, where, tools::usual_lesson(core, {}), core.match_table());
    tools::LessonClock clock;
    const Lesson lesson =
        core.lesson(plan, watch, [&](const LessonPart& part) { clock.start(part.kind); });
    return lesson_json(lesson, clock.telling(core.provenance()));
  });
}

/// `depth` is the command's: with "rollout" what costs `bound` or more is rolled out to
/// `half_width`.
Answer judge(SharedEngine& shared, const std::string& text, const std::string& where,
             const std::string& depth, double bound, double half_width, std::uint64_t seed,
             const py::object& progress) {
  std::vector<std::string> notes;
  Answer answer = shared.watched(progress, [&](Engine& engine, const Watch& watch) {
    Core& core = engine.core();
    MatchReview review = tools::reviewed_match(core, text, where, watch.stop, notes);
    if (depth != "static") core.look_ahead(review, watch.stop);
    if (depth == "rollout") {
      Rolling rolling;
      rolling.half_width = half_width;
      rolling.seed = seed;
      core.deepen(review, {bound, core.settings(rolling)}, watch);
    }
    return review_json(review, core.provenance());
  });
  for (const std::string& note : notes) warn(where + ", " + note);
  return answer;
}

using PlayAndResult = std::pair<std::string, std::string>;

std::vector<PlayAndResult> legal_plays(SharedEngine& shared, const std::string& line) {
  return shared.with([&](Engine& engine) {
    std::vector<PlayAndResult> plays;
    for (LegalPlay& one : engine.legal_plays(asked_in(line, {}, engine.core()).question)) {
      plays.emplace_back(std::move(one.play), std::move(one.result));
    }
    return plays;
  });
}

PlayAndResult play(SharedEngine& shared, const std::string& line, const std::string& play) {
  return shared.with([&](Engine& engine) {
    LegalPlay one = engine.play(asked_in(line, {}, engine.core()).question, play);
    return PlayAndResult(std::move(one.play), std::move(one.result));
  });
}

py::array_t<double> distributions(SharedEngine& shared, const py::object& positions, int checkers) {
  constexpr std::size_t kAtOnce = std::size_t{1} << 16;  // Ctrl-C is heard of between.
  const std::vector<Position> read = positions_of(positions, checkers);
  std::vector<OutcomeDistribution> outcomes;
  outcomes.reserve(read.size());
  for (std::size_t begin = 0; begin < read.size(); begin += kAtOnce) {
    const std::span part = std::span(read).subspan(begin, std::min(kAtOnce, read.size() - begin));
    const auto found =
        shared.with([&](Engine& engine) { return engine.core().distributions(part, checkers); });
    outcomes.insert(outcomes.end(), found.begin(), found.end());
    if (PyErr_CheckSignals() != 0) throw py::error_already_set();
  }
  return array_of(outcomes);
}

std::unique_ptr<SharedEngine> make_engine(const std::string& net, const std::string& opponent_net,
                                          const std::optional<std::string>& cache, int threads,
                                          const std::string& isa, const std::string& match_table,
                                          int race_points) {
  const py::gil_scoped_release unlocked;
  return std::make_unique<SharedEngine>(
      options_of(net, opponent_net, cache, threads, isa, match_table, race_points));
}

}  // namespace

PYBIND11_MODULE(_engine, module) {
  module.doc() = "The compiled half of sixfold.";
  py::register_exception_translator([](std::exception_ptr error) {
    try {
      if (error) std::rethrow_exception(error);
    } catch (const InputError& bad_input) {
      PyErr_SetString(PyExc_ValueError, bad_input.what());
    }
  });
  py::class_<SharedEngine>(module, "Engine")
      .def(py::init(&make_engine), py::arg("net"), py::arg("opponent_net"), py::arg("cache"),
           py::arg("threads"), py::arg("isa"), py::arg("match_table"), py::arg("race_points"))
      .def("evaluate", &evaluate)
      .def("rollout", &roll_out)
      .def("cube", &decide_cube)
      .def("lesson", &teach)
      .def("match", &judge)
      .def("legal_plays", &legal_plays)
      .def("play", &play)
      .def("distributions", &distributions)
      .def_property_readonly("net", [](SharedEngine& shared) {
        return shared.with([](Engine& engine) { return engine.net(); });
      });
  module.def("positions_array", [](const py::object& positions, int checkers) {
    return array_of(positions_of(positions, checkers));
  });
  module.def("position_texts", [](const py::object& positions, int checkers) {
    std::vector<std::string> texts;
    for (const Position& position : positions_of(positions, checkers)) {
      texts.push_back(position_text(position));
    }
    return texts;
  });
  module.def("inputs", [](const py::object& positions, int checkers) {
    return inputs_of(positions_of(positions, checkers));
  });
  module.def("races", [](const py::object& positions, int checkers) {
    return races_of(positions_of(positions, checkers));
  });
  module.attr("version") = std::string(Engine::version());
  module.attr("input_count") = kFeatureCount;
  module.attr("feature_set") = kFeatureSetVersion;
}

}  // namespace sixfold::python
