/// From options and requests to an Engine and its questions.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "equity/score.h"
#include "session/core.h"
#include "session/sixfold.h"
#include "tools/commands.h"
#include "tools/terminal.h"

namespace sixfold::tools {

/// The engine of the options; says on a terminal when it computes tables, which takes a while.
[[nodiscard]] Engine engine_of(const PositionOptions& options, int threads = 0);

/// Stops at Ctrl-C; `show` gets how far a rollout has come, in per cent, and the trials planned.
[[nodiscard]] Watch watched(std::function<void(std::uint64_t, std::uint64_t)> show);
/// The same, shown on a line.
[[nodiscard]] Watch watched(ProgressLine& line);

/// "a,b" -> a, b. Throws InputError for an empty part; `what` names it.
[[nodiscard]] std::vector<std::string> comma_list(const std::string& text, const std::string& what);
/// Throws InputError for scores that are none, and for duplicates.
[[nodiscard]] std::vector<Score> parse_scores(const std::string& text,
                                              const MatchEquityTable& table);
[[nodiscard]] Question question_of(const PositionOptions& options);

/// Called with a question at one score and the caller's name for it, as JSON.
using Answer = std::function<void(const Question&, const std::string& id)>;

/// Calls `answer` for each question of the options or of the requests, in order. A bad request is
/// answered by an error line and does not stop the rest. Returns the exit code.
int for_each_question(const PositionOptions& options, const Engine& engine, const Answer& answer);

}  // namespace sixfold::tools
