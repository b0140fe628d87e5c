#include "tools/sheets.h"

#include <algorithm>
#include <filesystem>

#include "base/atomic_file.h"
#include "base/clean_text.h"
#include "report/json/json_report.h"
#include "report/tables/csv.h"
#include "report/tables/lesson_tables.h"

namespace sixfold::tools {
namespace {

std::string kind_of(const std::string& out) {
  return std::filesystem::path(out).extension().string();
}

}  // namespace

bool is_sheet(const std::string& out) {
  return std::find(kSheetKinds.begin(), kSheetKinds.end(), kind_of(out)) != kSheetKinds.end();
}

std::string sheet_of(const Lesson& lesson, const LessonTelling& telling, const std::string& kind,
                     const SheetOptions& options) {
  return kind == ".html"  ? lesson_html(lesson, telling, options)
         : kind == ".md"  ? lesson_markdown(lesson, telling, options.command)
         : kind == ".csv" ? lesson_csv(lesson, telling.made_by).text()
                          : lesson_json(lesson, telling) + "\n";
}

WrittenSheets write_sheets(const std::vector<std::string>& outs, const SheetMaker& make) {
  WrittenSheets written;
  for (const std::string& out : outs) {
    try {
      write_file_atomically(out, make(kind_of(out)));
      written.told += "Written: " + clean_line(out) + "\n";
    } catch (const InputError& failure) {
      if (!written.error) written.error = failure;
    }
  }
  return written;
}

}  // namespace sixfold::tools
