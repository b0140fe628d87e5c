#include "tools/progress.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <utility>

#include "base/format.h"
#include "rules/notation.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// A line that fills the last column would be written below itself, not over itself.
std::string cut_to_terminal(const std::string& text) {
  winsize size{};
  const bool is_known = ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 1;
  const std::size_t most = is_known ? size.ws_col - 1u : 79u;
  std::size_t columns = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool begins_character = (static_cast<unsigned char>(text[i]) & 0xC0u) != 0x80u;
    if (begins_character && columns++ == most) return text.substr(0, i);
  }
  return text;
}

}  // namespace

std::string time_text(double seconds) {
  if (seconds < 99.5) return format("{:.0f} s", std::max(seconds, 0.0));
  const auto minutes = static_cast<long>(seconds / 60.0 + 0.5);
  if (minutes < 100) return format("{} min", minutes);
  return format("{} h {} min", minutes / 60, minutes % 60);
}

ProgressLine::ProgressLine(bool quiet) : visible_(!quiet && is_terminal(STDERR_FILENO)) {}

ProgressLine::~ProgressLine() { clear(); }

bool ProgressLine::is_due() {
  if (!visible_) return false;
  const auto now = std::chrono::duration_cast<std::chrono::milliseconds>(
                       std::chrono::steady_clock::now() - start_)
                       .count();
  std::int64_t last = last_milliseconds_;
  return now - last >= 200 && last_milliseconds_.compare_exchange_strong(last, now);
}

void ProgressLine::show(const std::string& text) {
  if (!visible_) return;
  std::fprintf(stderr, "\r\033[K%s", cut_to_terminal(text).c_str());
  std::fflush(stderr);
}

void ProgressLine::clear() {
  if (visible_) std::fputs("\r\033[K", stderr);
}

void Work::begin(Part part) {
  const std::lock_guard lock(mutex_);
  part_ = std::move(part);
  first_rollout_.reset();
  part_start_ = std::chrono::steady_clock::now();
  ++begun_;
  line_.show_when_due(part_.what);
}

Watch Work::watch() {
  return {&interrupted(), [this](const WorkProgress& progress) {
            if (line_.is_due()) line_.show(text(progress));
          }};
}

std::string Work::text(const WorkProgress& progress) {
  const std::lock_guard lock(mutex_);
  if (!first_rollout_) first_rollout_ = progress.rollout;
  const double of_rollout =
      static_cast<double>(progress.trials_done) /
      static_cast<double>(std::max<std::uint64_t>(1, progress.trials_expected));
  const double share =
      std::min(1.0, (static_cast<double>(progress.rollout - *first_rollout_) + of_rollout) /
                        static_cast<double>(part_.rollouts));
  std::string text = part_.what;
  if (parts_ > 1) text += format(", part {} of {}", begun_, parts_);
  if (part_.wanted_half_width > 0.0 && !progress.half_width) {
    return text + format(": first trials, {:.0f}%", 100.0 * share);  // How many more, nobody knows.
  }
  text += format(": {:.0f}%", 100.0 * share);
  if (progress.half_width && part_.wanted_half_width > 0.0) {
    text +=
        format(", costs ± {:.4f} (wanted {:.4g})", *progress.half_width, part_.wanted_half_width);
  }
  if (share < 0.01) return text;
  const double part_seconds = seconds_since(part_start_) / share;
  const double before = seconds_since(work_start_) - seconds_since(part_start_);
  // The parts to come are taken to be like those so far.
  const double left =
      part_seconds * (1.0 - share) + static_cast<double>(parts_ - std::min(parts_, begun_)) *
                                         (before + part_seconds) / static_cast<double>(begun_);
  return text + ", " + time_text(left) + " left";
}

Work::Part lesson_part(const LessonPlan& plan, const LessonPart& started, std::size_t cell) {
  const std::size_t scores = plan.scores.size();
  const double half_width = plan.settings.half_width;
  const auto name = [&](std::size_t number) { return plan.scores[number % scores].name; };
  const std::string roll = plan.rolls.empty() ? "" : roll_text(plan.rolls[cell / scores]);
  switch (started.kind) {
    case LessonPart::Kind::kDouble:
      return {"rolling out the double at " + name(started.number), half_width};
    case LessonPart::Kind::kFlip:
      return {"rolling out " + roll + " at all scores", 0.0, kFlipRollouts};
    case LessonPart::Kind::kCell:
      break;
  }
  return {"rolling out " + roll + " at " + name(cell), half_width};
}

}  // namespace sixfold::tools
