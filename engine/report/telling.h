/// What reports say beyond results: what made them, how long it took, and how much is to be told.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/provenance.h"

namespace sixfold {

/// What a caller calls a decision: answers come under it.
struct CallersName {
  std::string_view id = "null";  ///< As JSON.
  std::string_view title{};
};

/// An entry of a queue.
struct EntryName {
  std::int64_t number = 0;
  std::string title;
};

struct Telling {
  Provenance made_by;
  double seconds = 0.0;       ///< That the result took.
  bool with_facts = false;    ///< Of static values: the facts of position and plays too.
  bool with_ledgers = false;  ///< Of rollouts as JSON: the ledger of every play but the best.
};

/// Of a lesson.
struct LessonTelling {
  Provenance made_by;
  double seconds = 0.0;              ///< That all parts took.
  std::vector<double> cell_seconds;  ///< That each cell took; 0 where there is no entry.
  std::vector<double> flip_seconds;  ///< That each flip plane took; the same.

  [[nodiscard]] Telling of_cell(std::size_t number) const {
    return {made_by, entry(cell_seconds, number), false, true};
  }
  [[nodiscard]] Telling of_flip(std::size_t number) const {
    return {made_by, entry(flip_seconds, number)};
  }

 private:
  static double entry(const std::vector<double>& seconds, std::size_t number) {
    return number < seconds.size() ? seconds[number] : 0.0;
  }
};

/// Of a solved game.
struct SolvedTelling {
  double seconds = 0.0;
  bool loaded = false;  ///< Not solved now but taken from the cache.
  std::string file;     ///< Where it is stored, if it is.
};

}  // namespace sixfold
