/// The page that a night's report opens with: what each entry of a queue has come to.
///
/// Settled entries first, then those with an open verdict, those that are not done yet, and last
/// those that have failed, with the reason. A line for each verdict, and a link to the entry's
/// sheet. Without scripts and without anything from elsewhere, as sheets are. Pure functions.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/provenance.h"
#include "report/telling.h"
#include "report/words/findings.h"

namespace sixfold {

struct NightEntry {
  enum class State : std::uint8_t { kWaiting, kBegun, kDone, kFailed };
  EntryName name;
  State state = State::kWaiting;
  std::vector<Finding> findings{};  ///< As far as they are known.
  std::string sheet{};              ///< The file that tells more, beside the page; empty: none.
  std::string error{};              ///< Why it has failed.
  std::uint64_t trials = 0;
  double seconds = 0.0;  ///< That they took.
};

/// A file beside the page: what it is called and what is in it.
struct NightFile {
  std::string file;
  std::string what;
};

struct NightReport {
  std::vector<NightEntry> entries;
  std::vector<NightFile> tables;
  Provenance made_by;
  std::string command;  ///< That makes the same report again.
};

[[nodiscard]] std::string night_html(const NightReport& night);

}  // namespace sixfold
