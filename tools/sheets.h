/// Sheets that --out names by their endings: where they may be written, and writing them.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "base/input_error.h"

namespace sixfold::tools {

/// Whether a name ends as that of a sheet does: .html, .md, .csv or .json.
[[nodiscard]] bool is_sheet(const std::string& out);

/// The files of one run: none is written that is read or written already.
class SheetPlaces {
 public:
  /// `input` is what is read; empty: no file.
  SheetPlaces(const std::string& input, bool force);

  /// Refuses, before any work is done, what could not be written or would write over something
  /// else. Throws InputError.
  void take(const std::string& file, const std::string& option);

 private:
  bool force_;
  std::set<std::filesystem::path> taken_;
};

/// What makes each kind of sheet.
struct SheetForms {
  std::function<std::string()> html;
  std::function<std::string()> markdown;
  std::function<std::string()> csv;
  std::function<std::string()> json;
};

struct WrittenSheets {
  std::string told{};                 ///< "Written: FILE", a line each.
  std::optional<InputError> error{};  ///< The first one.
};
/// Writes what can be written. REQUIRES: all are sheets.
[[nodiscard]] WrittenSheets write_sheets(const std::vector<std::string>& outs,
                                         const SheetForms& forms);

}  // namespace sixfold::tools
