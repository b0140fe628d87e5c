#include "tools/python/long_work.h"

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <optional>
#include <thread>

namespace py = pybind11;

namespace sixfold::python {
namespace {

constexpr std::chrono::milliseconds kLookEvery{50};

/// What the two threads share.
class Course {
 public:
  explicit Course(const std::function<void(const Watch&)>& work)
      : thread_([this, &work] { run(work); }) {}
  ~Course() {
    stop_ = true;
    thread_.join();
  }
  Course(const Course&) = delete;
  Course& operator=(const Course&) = delete;

  void stop() noexcept { stop_ = true; }
  [[nodiscard]] bool is_stopped() const noexcept { return stop_; }
  /// Waits a little for the end.
  [[nodiscard]] bool has_ended() {
    std::unique_lock lock(mutex_);
    return ended_.wait_for(lock, kLookEvery, [this] { return is_over_; });
  }
  /// How far it has come since this was last asked.
  [[nodiscard]] std::optional<WorkProgress> news() {
    const std::lock_guard lock(mutex_);
    return std::exchange(latest_, std::nullopt);
  }
  /// After the end.
  void rethrow() const {
    if (error_) std::rethrow_exception(error_);
  }

 private:
  void run(const std::function<void(const Watch&)>& work) {
    try {
      work({&stop_, [this](const WorkProgress& at) {
              const std::lock_guard lock(mutex_);
              latest_ = at;
            }});
    } catch (...) {
      error_ = std::current_exception();
    }
    const std::lock_guard lock(mutex_);
    is_over_ = true;
    ended_.notify_all();
  }

  std::mutex mutex_;
  std::condition_variable ended_;
  std::atomic<bool> stop_{false};
  bool is_over_ = false;
  std::optional<WorkProgress> latest_;
  std::exception_ptr error_;
  std::thread thread_;  // Last: it uses all of the above.
};

/// Whether the callback wants the work to go on.
bool tell(const py::object& progress, const WorkProgress& at) {
  const py::object half_width = at.half_width ? py::object(py::float_(*at.half_width)) : py::none();
  return !progress(at.trials_done, at.trials_expected, half_width, at.rollout).is(py::bool_(false));
}

}  // namespace

WorkEnd run_watched(const py::object& progress, const std::function<void(const Watch&)>& work) {
  std::optional<py::error_already_set> raised;
  std::exception_ptr failed;
  {
    Course course(work);
    for (bool over = false; !over;) {
      {
        const py::gil_scoped_release unlocked;
        over = course.has_ended();
      }
      if (raised || failed) continue;  // The end is near.
      try {
        if (PyErr_CheckSignals() != 0) throw py::error_already_set();
        const bool is_told = !progress.is_none() && !course.is_stopped();
        const auto news = is_told ? course.news() : std::nullopt;
        if (news && !tell(progress, *news)) course.stop();
      } catch (py::error_already_set& error) {
        raised.emplace(error);
        course.stop();
      } catch (...) {
        failed = std::current_exception();
        course.stop();
      }
    }
    if (!raised && !failed) course.rethrow();
  }
  if (failed) std::rethrow_exception(failed);
  if (!raised) return WorkEnd::kDone;
  if (!raised->matches(PyExc_KeyboardInterrupt)) throw *raised;
  return WorkEnd::kInterrupted;
}

}  // namespace sixfold::python
