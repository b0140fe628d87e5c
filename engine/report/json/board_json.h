/// What the board's server reads and writes beside the forms of the command line;
/// tools/board/README.md describes it.
///
/// Pure functions.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/telling.h"
#include "study/decision.h"

namespace sixfold {

/// What the page is told when it begins.
struct BoardState {
  Provenance made_by;
  bool has_queue = false;
  bool has_match = false;
};
[[nodiscard]] std::string board_state_json(const BoardState& state);

/// A position by the counts of its points and, where there is a roll, its legal plays.
[[nodiscard]] std::string look_json(const Position& position, const std::optional<Roll>& roll,
                                    const CallersName& name);

/// Work that is asked for: a request of the contract or a lesson file, as they are written there.
struct AskedWork {
  std::string kind;   ///< "rollout", "cube", "flip" or "lesson".
  std::string input;  ///< The request or the lesson, as JSON.
};
/// Throws InputError for what is not of the form, and for kinds that are none; `id` is set, as
/// JSON, as soon as it is known.
[[nodiscard]] AskedWork parse_work(std::string_view text, std::string& id);
[[nodiscard]] std::string work_json(std::uint64_t work);

/// What is to be put into a queue: a request or a lesson, as JSON.
struct AskedEntry {
  bool is_lesson = false;
  std::string input;
  int priority = 0;
};
/// Throws InputError.
[[nodiscard]] AskedEntry parse_entry(std::string_view text);
[[nodiscard]] std::string entries_json(const std::vector<std::int64_t>& entries);
/// Lines of JSON as the list of a queue.
[[nodiscard]] std::string queue_list_json(const std::vector<std::string>& lines);

/// How far work has come.
struct WorkNews {
  std::string what;      ///< "rolling out 64 at dmp"
  std::size_t part = 0;  ///< That is worked at, from 0.
  std::size_t parts = 1;
  double percent = 0.0;                ///< Of all parts, as far as can be foreseen.
  std::uint64_t trials = 0;            ///< Of the part.
  std::optional<double> half_width{};  ///< The widest of its contested costs.
  std::string answer{};                ///< What is known of the part, as JSON; empty: nothing yet.
};
[[nodiscard]] std::string news_json(const WorkNews& news);

/// A finished lesson, as the work's last word.
[[nodiscard]] std::string lesson_done_json(std::string_view lesson);

}  // namespace sixfold
