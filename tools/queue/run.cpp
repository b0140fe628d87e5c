#include <algorithm>
#include <array>
#include <chrono>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <memory>
#include <mutex>
#include <utility>

#include "base/file_place.h"
#include "base/format.h"
#include "base/input_error.h"
#include "queue/next_up.h"
#include "queue/night.h"
#include "queue/runner_lock.h"
#include "tools/places.h"
#include "tools/progress.h"
#include "tools/queue/answers.h"
#include "tools/queue/jobs.h"
#include "tools/queue/until.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

/// "entry 3, 64 at dmp"
std::string name_of(const PartAt& part) { return format("entry {}, {}", part.entry, part.what); }

std::string standing_words(const Standing& at) {
  std::string text = format("round {}, {} trials", at.rounds, at.trials);
  if (at.half_width) text += format(", costs ± {:.4f}", *at.half_width);
  if (at.closest) text += at.closest->is_open ? ", open" : ", settled";
  if (at.beyond > 0) return text + ", beyond what was asked for";
  return text + (at.is_done ? ", done" : "");
}

/// Lines with times, for those who look in the morning.
class Log {
 public:
  Log(const std::string& file, const std::string& db) {
    if (file.empty()) return;
    if (is_same_file(file, db)) {
      throw InputError("is the queue itself", "--log " + file, "a file of its own");
    }
    out_.open(file, std::ios::app);
    if (!out_) {
      throw InputError("can't be written", "--log " + file, "a file in a folder that exists");
    }
  }
  void write(const std::string& text) {
    if (!out_.is_open()) return;
    const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
    std::tm moment{};
    localtime_r(&now, &moment);
    std::array<char, 32> time{};
    std::strftime(time.data(), time.size(), "%Y-%m-%dT%H:%M:%S%z", &moment);
    out_ << time.data() << ' ' << text << std::endl;
  }

 private:
  std::ofstream out_;
};

NightEnd end_of(const QueueOptions& options) {
  NightEnd end;
  if (options.until) {
    end.until = parse_moment(*options.until, std::chrono::system_clock::now());
  }
  if (options.duration) end.duration = parse_duration(*options.duration);
  return end;
}

/// What the queue is run with from now on.
void note_players(QueueFile& file, const QueueOptions& options, const Core& core) {
  const std::optional<RunBy> before = file.run_by();
  std::string net = before ? before->net_file : std::string();
  if (!options.common.net.empty()) net = std::filesystem::absolute(options.common.net).string();
  file.set_run_by({core.provenance().net, core.provenance().version, net, core.race_points()});
}

class Teller {
 public:
  Teller(QueueFile& file, const QueueOptions& options)
      : file_(file), line_(options.common.quiet), log_(options.log, options.db) {}

  void begin(const Core& core) {
    log_.write(
        format("begun: {}, {}, {} threads", file_.name(), core.provenance().net, core.threads()));
  }
  void started(const PartAt& part) {
    const std::vector<EntryAt> list = file_.list();
    const auto done = std::count_if(list.begin(), list.end(),
                                    [](const EntryAt& at) { return at.state == "done"; });
    std::string text = format("{} of {} entries done", done, list.size());
    if (const auto left = seconds_left(file_.parts())) text += ", " + time_text(*left) + " left";
    text += "; " + name_of(part);
    const std::lock_guard lock(mutex_);
    text_ = text;
    wanted_ = part.standing.wanted;
  }
  void progress(const RolloutProgress& at) {
    if (!line_.is_due()) return;
    const std::lock_guard lock(mutex_);
    std::string text = text_;
    if (at.half_width) text += format(": costs ± {:.4f} (wanted {:.4g})", *at.half_width, wanted_);
    line_.show(text);
  }
  void ended(const PartAt& part) {
    log_.write(name_of(part) + ": " + standing_words(part.standing));
  }
  void failed(const PartAt& part, const std::string& error) {
    line_.clear();
    note(name_of(part) + " has failed: " + error);
    log_.write(name_of(part) + " has failed: " + error);
  }
  void end(const std::string& why) {
    line_.clear();
    log_.write(why);
  }

 private:
  QueueFile& file_;
  ProgressLine line_;
  Log log_;
  std::mutex mutex_;
  std::string text_;
  double wanted_ = 0.0;
};

}  // namespace

int run_queue_run(const QueueOptions& options) {
  const NightEnd end = end_of(options);
  be_nice(options.nice);
  QueueFile file(options.db, Database::Access::kWrite);
  file.check();
  const ProcessLock lock = runner_lock(options.db);
  Teller teller(file, options);
  Engine engine = engine_for(file, options);
  Core& core = engine.core();
  note_players(file, options, core);
  const Alarm alarm(end);
  teller.begin(core);
  NightSettings settings;
  settings.beyond = end.until || end.duration;
  settings.stop = &alarm.rings();
  settings.runner = [&](StateKeeper& keeper) {
    return core.runner({&alarm.rings(), [&](const RolloutProgress& at) { teller.progress(at); }},
                       &keeper);
  };
  settings.clock = [start = std::chrono::steady_clock::now()] {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  };
  settings.turn_started = [&](const PartAt& part) { teller.started(part); };
  settings.turn_ended = [&](const PartAt& part) { teller.ended(part); };
  settings.failed = [&](const PartAt& part, const std::string& error) {
    teller.failed(part, error);
  };
  const auto read = [&](const Entry& entry) { return read_entry(entry, core).job; };
  try {
    Night night(file, core, read, std::move(settings));
    options.run_night ? options.run_night(night) : night.run();
  } catch (const InputError& error) {
    teller.end(error.what());
    throw;
  }
  teller.end(interrupted()   ? "interrupted: what was played is kept"
             : alarm.rings() ? "time is up"
                             : "all is done");
  if (interrupted()) return kInterrupted;
  const std::vector<EntryAt> list = file.list();
  const bool any_failed =
      std::any_of(list.begin(), list.end(), [](const EntryAt& at) { return at.error.has_value(); });
  return any_failed ? kBadInput : kDone;
}

}  // namespace sixfold::tools
