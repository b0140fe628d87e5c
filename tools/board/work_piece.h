/// A piece of work for the page: a rollout, a doubling decision, the plane of a roll, or a lesson.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "report/json/board_json.h"
#include "report/telling.h"
#include "study/lesson.h"
#include "tools/questions.h"

namespace sixfold::tools {

/// Can be stopped and gone on with as often as one likes: what has been played is kept, and what
/// comes out is what comes out of one run, but for the seconds. Belongs to one thread at a time.
class WorkPiece {
 public:
  /// Throws InputError for what can't be asked; `id` is then the caller's as far as it is known.
  WorkPiece(const std::string& body, const Core& core, std::string& id);

  struct End {
    bool is_done = false;  ///< Else it was stopped.
    std::string data;      ///< The answer; of what was stopped, news.
  };
  /// Works until all is done or `stop` is set, and tells several times a second how far it has
  /// come. Throws InputError for what turns out not to have an answer.
  [[nodiscard]] End run(Engine& engine, const std::atomic<bool>& stop,
                        const std::function<void(const WorkNews&)>& tell);

  [[nodiscard]] const std::string& id() const noexcept { return id_; }
  /// The lesson as a sheet of a kind of tools/sheets.h. Throws InputError where there is none yet.
  [[nodiscard]] std::string sheet(const std::string& kind, bool is_quiz) const;

 private:
  friend class WorkRun;
  enum class Kind : std::uint8_t { kRollout, kCube, kFlip, kLesson };

  Kind kind_ = Kind::kRollout;
  std::string id_ = "null";
  Asked asked_;               ///< Of all but lessons; and
  RolloutQuestion question_;  ///< the same, read.
  std::optional<LessonPlan> plan_;
  std::map<std::uint64_t, std::string> states_;  ///< Of rollouts, by their plans.
  double seconds_ = 0.0;
  std::optional<Lesson> lesson_;
  LessonTelling telling_;
};

}  // namespace sixfold::tools
