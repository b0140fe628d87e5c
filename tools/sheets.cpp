#include "tools/sheets.h"

#include "report/json/json_report.h"
#include "report/tables/csv.h"
#include "report/tables/lesson_tables.h"

namespace sixfold::tools {

std::string sheet_of(const Lesson& lesson, const LessonTelling& telling, const std::string& kind,
                     const SheetOptions& options) {
  return kind == ".html"  ? lesson_html(lesson, telling, options)
         : kind == ".md"  ? lesson_markdown(lesson, telling, options.command)
         : kind == ".csv" ? lesson_csv(lesson, telling.made_by).text()
                          : lesson_json(lesson, telling) + "\n";
}

}  // namespace sixfold::tools
