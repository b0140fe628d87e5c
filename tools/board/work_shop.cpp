#include "tools/board/work_shop.h"

#include <algorithm>
#include <utility>

#include "base/format.h"
#include "base/input_error.h"
#include "report/json/json_report.h"

namespace sixfold::tools {
namespace {

constexpr std::size_t kMostAtOnce = 4;
constexpr std::size_t kMostKept = 16;
/// A page watches what it has asked for at once; what nobody watches takes nobody's room.
constexpr std::chrono::seconds kWatchedWithin{10};

}  // namespace

class WorkShop::Seat {
 public:
  /// REQUIRES: the shop's mutex is held.
  Seat(WorkShop& shop, std::shared_ptr<Bench> bench) : shop_(shop), bench_(std::move(bench)) {
    bench_->state = State::kWatched;
  }
  Seat(const Seat&) = delete;
  Seat& operator=(const Seat&) = delete;
  ~Seat() {
    const std::lock_guard lock(shop_.mutex_);
    if (bench_->state != State::kWatched) return;
    bench_->state = State::kWaiting;
    bench_->since = {};
    bench_->stop = false;
  }

  [[nodiscard]] Bench& bench() const noexcept { return *bench_; }
  void end(const std::string& event, const std::string& data) {
    const std::lock_guard lock(shop_.mutex_);
    bench_->state = State::kEnded;
    bench_->last_event = event;
    bench_->last_data = data;
  }

 private:
  WorkShop& shop_;
  std::shared_ptr<Bench> bench_;
};

std::shared_ptr<WorkShop::Bench> WorkShop::required(std::uint64_t work) const {
  const auto found = benches_.find(work);
  if (found == benches_.end()) throw Refusal(404, format("there is no work {}", work));
  return found->second;
}

void WorkShop::require_room(const Bench* own) const {
  const auto now = std::chrono::steady_clock::now();
  const auto busy = std::count_if(benches_.begin(), benches_.end(), [&](const auto& each) {
    const Bench& bench = *each.second;
    return &bench != own &&
           (bench.state == State::kWatched ||
            (bench.state == State::kWaiting && now - bench.since < kWatchedWithin));
  });
  if (static_cast<std::size_t>(busy) < kMostAtOnce) return;
  throw Refusal(429, format("{} pieces of work go on already; expected one of them to end first",
                            kMostAtOnce));
}

std::uint64_t WorkShop::put(std::shared_ptr<WorkPiece> piece) {
  const auto bench = std::make_shared<Bench>();
  bench->piece = std::move(piece);
  for (auto oldest = benches_.begin(); oldest != benches_.end() && benches_.size() >= kMostKept;) {
    oldest = oldest->second->state == State::kWatched ? std::next(oldest) : benches_.erase(oldest);
  }
  benches_.emplace(++last_, bench);
  return last_;
}

std::uint64_t WorkShop::start(const std::string& body, std::string& id) {
  std::shared_ptr<WorkPiece> piece;
  {
    const auto engine = engines_.borrow();
    piece = std::make_shared<WorkPiece>(body, engine->core(), id);
  }
  const std::lock_guard lock(mutex_);
  require_room();
  return put(std::move(piece));
}

std::uint64_t WorkShop::go_on(std::uint64_t work) {
  const std::lock_guard lock(mutex_);
  const std::shared_ptr<Bench> bench = required(work);
  if (bench->state == State::kWatched) throw Refusal(409, "it is still worked at");
  require_room();
  const std::shared_ptr<WorkPiece> piece = bench->piece;
  benches_.erase(work);
  return put(piece);
}

void WorkShop::stop(std::uint64_t work) {
  const std::lock_guard lock(mutex_);
  required(work)->stop = true;
}

std::function<void(EventSink&)> WorkShop::watch(std::uint64_t work) {
  const std::lock_guard lock(mutex_);
  const std::shared_ptr<Bench> bench = required(work);
  if (bench->state == State::kEnded) {
    return [bench](EventSink& sink) { sink.send(bench->last_event, bench->last_data); };
  }
  if (bench->state == State::kWatched) throw Refusal(409, "somebody watches it already");
  require_room(bench.get());
  if (is_closed_) bench->stop = true;
  return [this, seat = std::make_shared<Seat>(*this, bench)](EventSink& sink) {
    work_at(*seat, sink);
  };
}

void WorkShop::work_at(Seat& seat, EventSink& sink) {
  Bench& bench = seat.bench();
  bool is_heard = sink.beat();
  if (!is_heard) bench.stop = true;
  std::string event;
  std::string data;
  try {
    const auto engine = engines_.borrow();
    const WorkPiece::End end = bench.piece->run(*engine, bench.stop, [&](const WorkNews& news) {
      is_heard = is_heard && sink.send("progress", news_json(news));
      if (!is_heard) bench.stop = true;
    });
    event = end.is_done ? "done" : "stopped";
    data = end.data;
  } catch (const std::exception& error) {
    event = "failed";
    data = error_json(bench.piece->id(), error.what());
  }
  // Nobody has stopped what nobody listened to: whoever comes back to it goes on.
  if (is_heard || event != "stopped") seat.end(event, data);
  sink.send(event, data);
}

std::string WorkShop::sheet(std::uint64_t work, const std::string& kind, bool is_quiz) {
  const std::lock_guard lock(mutex_);
  const std::shared_ptr<Bench> bench = required(work);
  if (bench->state != State::kEnded) throw Refusal(409, "it has not ended yet");
  return bench->piece->sheet(kind, is_quiz);
}

void WorkShop::close() {
  const std::lock_guard lock(mutex_);
  is_closed_ = true;
  for (const auto& [number, bench] : benches_) bench->stop = true;
}

}  // namespace sixfold::tools
