/// Sheets that --out names by their endings, and writing them.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/input_error.h"

namespace sixfold::tools {

/// Whether a name ends as that of a sheet does: .html, .md, .csv or .json.
[[nodiscard]] bool is_sheet(const std::string& out);

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
