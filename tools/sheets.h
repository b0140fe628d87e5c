/// Sheets in every form that can be taken away, and writing those that --out names by their
/// endings.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/input_error.h"
#include "report/page/sheet.h"
#include "report/telling.h"
#include "study/lesson.h"

namespace sixfold::tools {

inline constexpr std::array<const char*, 4> kSheetKinds{".html", ".md", ".csv", ".json"};

/// Whether a name ends as that of a sheet does.
[[nodiscard]] bool is_sheet(const std::string& out);

/// REQUIRES: `kind` is one of kSheetKinds; the lesson has a cell or a double.
[[nodiscard]] std::string sheet_of(const Lesson& lesson, const LessonTelling& telling,
                                   const std::string& kind, const SheetOptions& options);

/// Makes a sheet of a kind.
using SheetMaker = std::function<std::string(const std::string& kind)>;

struct WrittenSheets {
  std::string told{};                 ///< "Written: FILE", a line each.
  std::optional<InputError> error{};  ///< The first one.
};
/// Writes what can be written. REQUIRES: all are sheets.
[[nodiscard]] WrittenSheets write_sheets(const std::vector<std::string>& outs,
                                         const SheetMaker& make);

}  // namespace sixfold::tools
