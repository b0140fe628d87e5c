// Lesson files.
#include "fuzz/fuzz.h"
#include "report/json/lesson_file.h"

using namespace sixfold;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  fuzz::may_refuse([&] {
    const LessonPlan plan =
        parse_lesson(fuzz::text_of(data, size), "lesson", {}, own_match_equities());
    static_cast<void>(questions_of(plan));
  });
  return 0;
}
