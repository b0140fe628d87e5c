#include "tools/mpi/post.h"

#include <mpi.h>
#include <unistd.h>

#include <algorithm>
#include <cstdint>
#include <stdexcept>
#include <thread>

#include "base/workers.h"

namespace sixfold::tools {
namespace {

/// What MPI counts in one message with.
int count_of(const std::string& text) {
  constexpr std::size_t kMost = 0x7fffffff;
  if (text.size() > kMost) throw std::length_error("a message of more than 2 GB");
  return static_cast<int>(text.size());
}

void wait_for(MPI_Request& request) {
  Naps naps;
  for (int done = 0;;) {
    MPI_Test(&request, &done, MPI_STATUS_IGNORE);
    if (done != 0) return;
    naps.nap();
  }
}

/// Bound to a part of the machine, a rank has no more than that.
int share_of_threads(int ranks_here) {
  const auto all = static_cast<int>(sysconf(_SC_NPROCESSORS_ONLN));
  return std::clamp(all / ranks_here, 1, available_threads());
}

}  // namespace

void Naps::nap() {
  constexpr std::chrono::microseconds kLongest{1000};
  std::this_thread::sleep_for(next_);
  next_ = std::min(2 * next_, kLongest);
}

/// What is on its way, with its text.
struct Post::Sending {
  std::string body;
  MPI_Request request{};
};

Post::Post(int* argc, char*** argv) {
  int provided = 0;
  MPI_Init_thread(argc, argv, MPI_THREAD_FUNNELED, &provided);
  MPI_Comm_rank(MPI_COMM_WORLD, &rank_);
  MPI_Comm_size(MPI_COMM_WORLD, &ranks_);
  MPI_Comm here{};
  MPI_Comm_split_type(MPI_COMM_WORLD, MPI_COMM_TYPE_SHARED, rank_, MPI_INFO_NULL, &here);
  int ranks_here = 1;
  MPI_Comm_size(here, &ranks_here);
  MPI_Comm_free(&here);
  threads_each_ = share_of_threads(ranks_here);
}

Post::~Post() {
  for (const std::unique_ptr<Sending>& each : sending_) wait_for(each->request);
  MPI_Finalize();
}

void Post::send(int to, Message message) {
  drop_sent();
  sending_.push_back(std::make_unique<Sending>(Sending{std::move(message.body)}));
  Sending& sent = *sending_.back();
  MPI_Isend(sent.body.data(), count_of(sent.body), MPI_BYTE, to, static_cast<int>(message.kind),
            MPI_COMM_WORLD, &sent.request);
}

void Post::drop_sent() {
  sending_.remove_if([](const std::unique_ptr<Sending>& each) {
    int done = 0;
    MPI_Test(&each->request, &done, MPI_STATUS_IGNORE);
    return done != 0;
  });
}

std::optional<FromRank> Post::poll() {
  drop_sent();
  int is_there = 0;
  MPI_Status status{};
  MPI_Iprobe(MPI_ANY_SOURCE, MPI_ANY_TAG, MPI_COMM_WORLD, &is_there, &status);
  if (is_there == 0) return std::nullopt;
  int count = 0;
  MPI_Get_count(&status, MPI_BYTE, &count);
  FromRank from{status.MPI_SOURCE, {static_cast<MessageKind>(status.MPI_TAG), {}}};
  from.message.body.resize(static_cast<std::size_t>(count));
  MPI_Recv(from.message.body.data(), count, MPI_BYTE, status.MPI_SOURCE, status.MPI_TAG,
           MPI_COMM_WORLD, MPI_STATUS_IGNORE);
  return from;
}

std::string Post::broadcast(std::string text) {
  std::uint64_t size = static_cast<std::uint64_t>(count_of(text));
  MPI_Request request{};
  MPI_Ibcast(&size, 1, MPI_UINT64_T, 0, MPI_COMM_WORLD, &request);
  wait_for(request);
  text.resize(size);
  MPI_Ibcast(text.data(), count_of(text), MPI_BYTE, 0, MPI_COMM_WORLD, &request);
  wait_for(request);
  return text;
}

}  // namespace sixfold::tools
