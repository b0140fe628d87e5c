// How busy many threads, or many machines, would stay. Rolls decisions out, takes the time of each
// trial, of taking a block in and of the look at the end of each round, and simulates who plays
// them:
//
// - threads: turns handed out in order, one at a time, to the thread that is free first;
// - ranks: blocks of six handed out a few at a time, as `sixfold-mpi` does it, by a rank 0 that
// sends
//   and takes in one message after the other. One decision; and a queue of 40, one after the other
//   or all at once.
//
// Run as: sixfold_scheduler NET [HALF_WIDTH [MESSAGE_MICROSECONDS]]
#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <deque>
#include <functional>
#include <numeric>
#include <queue>
#include <utility>
#include <vector>

#include "base/input_error.h"
#include "rollout/runner.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "session/core.h"

namespace {

using namespace sixfold;

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

/// What a round took: trials in the order in which they are handed out, and at rank 0 a block's
/// taking in on average and the look at the end.
struct Round {
  std::vector<double> trials;
  double absorb = 0.0;
  double look = 0.0;
};
using Rounds = std::vector<Round>;

/// Plays the blocks that a state asks for, block by block over all plays.
void play_round(const PlannedTrials& trials, RolloutState& state, Round& round) {
  std::vector<std::pair<std::uint64_t, std::size_t>> places;
  for (const BlockRange& range : state.next()) {
    for (std::uint64_t i = 0; i < range.count; ++i) {
      places.emplace_back(range.first + i, range.start);
    }
  }
  std::sort(places.begin(), places.end());
  ChoiceScratch scratch;
  double absorbing = 0.0;
  for (const auto& [block, start] : places) {
    std::array<BlockMeans, kBlockTrials> means;
    for (std::uint64_t i = 0; i < kBlockTrials; ++i) {
      const Clock::time_point begin = Clock::now();
      means[i] = trials.play(start, block * kBlockTrials + i, scratch, nullptr);
      round.trials.push_back(seconds_since(begin));
    }
    const PlayedBlock played = trials.block_of(start, block, means, {});
    const std::uint64_t before = state.rounds();
    const Clock::time_point begin = Clock::now();
    state.absorb(played);
    (state.rounds() == before ? absorbing : round.look) += seconds_since(begin);
  }
  round.absorb += absorbing / static_cast<double>(places.size());
}

Rounds played_decision(const TrialPlayers& players, Roll roll, double half_width) {
  PlayList plays;
  generate_plays(start_position(), roll, plays);
  RolloutSettings settings;
  settings.trials = 144;
  settings.half_width = half_width;
  settings.luck = LuckControl::kEstimated;
  RolloutState state(plan_plays(players, start_position(), plays.span(), money_score(), settings));
  const PlannedTrials trials(state.plan(), players);
  Rounds decision;
  while (!state.is_finished()) {
    if (decision.size() <= state.rounds()) decision.emplace_back();
    play_round(trials, state, decision.back());
  }
  return decision;
}

double work_of(const Rounds& decision) {
  double work = 0.0;
  for (const Round& round : decision) {
    work = std::accumulate(round.trials.begin(), round.trials.end(), work);
  }
  return work;
}

/// Seconds until threads have played all turns.
double makespan(const std::vector<double>& turns, std::size_t threads) {
  std::priority_queue<double, std::vector<double>, std::greater<>> free_at;
  for (std::size_t t = 0; t < threads; ++t) free_at.push(0.0);
  double last = 0.0;
  for (const double turn : turns) {
    const double end = free_at.top() + turn;
    free_at.pop();
    free_at.push(end);
    last = std::max(last, end);
  }
  return last;
}

/// The share of their time that threads work on a decision.
double busy_threads(const Rounds& decision, std::size_t threads) {
  double time = 0.0;
  for (const Round& round : decision) time += makespan(round.trials, threads) + round.look;
  return work_of(decision) / (time * static_cast<double>(threads));
}

/// Ranks that play decisions, a given number of these at once. Each rank has one thread.
class Ranks {
 public:
  Ranks(std::size_t ranks, double message) : ranks_(ranks), message_(message) {}

  /// Seconds until all is played.
  [[nodiscard]] double makespan(const std::vector<const Rounds*>& decisions, std::size_t at_once) {
    waiting_.assign(decisions.begin(), decisions.end());
    while (open_.size() < at_once && !waiting_.empty()) begin_next();
    std::vector<std::size_t> idle(ranks_);
    std::iota(idle.begin(), idle.end(), std::size_t{0});
    for (;;) {
      while (!idle.empty() && blocks_left_ > 0) {
        hand_out();
        idle.pop_back();
      }
      if (replies_.empty()) return now_;
      const Reply reply = replies_.top();
      replies_.pop();
      take_in(reply);
      idle.push_back(0);
    }
  }

 private:
  struct Open {
    const Rounds* decision;
    std::size_t round = 0;
    std::size_t given = 0;  ///< Blocks of the round.
    std::size_t taken = 0;
    [[nodiscard]] const Round& now() const { return (*decision)[round]; }
    [[nodiscard]] std::size_t blocks() const { return now().trials.size() / kBlockTrials; }
  };
  struct Reply {
    double at;
    std::size_t open;
    std::size_t blocks;
    bool operator<(const Reply& other) const { return at > other.at; }
  };

  void begin_next() {
    open_.push_back({waiting_.front()});
    waiting_.pop_front();
    blocks_left_ += open_.back().blocks();
  }

  /// Rank 0 sends blocks to whoever is free.
  void hand_out() {
    std::size_t which = 0;
    while (open_[which].given == open_[which].blocks()) ++which;
    Open& open = open_[which];
    const std::size_t left = open.blocks() - open.given;
    const std::size_t share = std::clamp(left / (3 * ranks_), std::size_t{1}, kMostBlocks);
    const auto first =
        open.now().trials.begin() + static_cast<std::ptrdiff_t>(open.given * kBlockTrials);
    const double work =
        std::accumulate(first, first + static_cast<std::ptrdiff_t>(share * kBlockTrials), 0.0);
    open.given += share;
    blocks_left_ -= share;
    now_ += kSending;
    replies_.push({now_ + 2.0 * message_ + work, which, share});
  }

  void take_in(const Reply& reply) {
    Open& open = open_[reply.open];
    now_ =
        std::max(now_, reply.at) + kSending + open.now().absorb * static_cast<double>(reply.blocks);
    open.taken += reply.blocks;
    if (open.taken < open.blocks()) return;
    now_ += open.now().look;
    if (open.round + 1 < open.decision->size()) {
      ++open.round;
      open.given = open.taken = 0;
      blocks_left_ += open.blocks();
    } else if (!waiting_.empty()) {
      begin_next();
    }
  }

  static constexpr std::size_t kMostBlocks = 64;
  static constexpr double kSending = 5e-6;  ///< Rank 0's own work at a message.

  std::size_t ranks_;
  double message_;
  double now_ = 0.0;  ///< At rank 0.
  std::deque<const Rounds*> waiting_;
  std::vector<Open> open_;
  std::size_t blocks_left_ = 0;
  std::priority_queue<Reply> replies_;
};

/// The share of their time that ranks work.
double busy_ranks(const std::vector<const Rounds*>& decisions, std::size_t ranks, double message,
                  std::size_t at_once) {
  double work = 0.0;
  for (const Rounds* decision : decisions) work += work_of(*decision);
  return work / (Ranks(ranks, message).makespan(decisions, at_once) * static_cast<double>(ranks));
}

void print_measured(const char* dice, const Rounds& decision) {
  std::size_t blocks = 0;
  double absorb = 0.0;
  double look = 0.0;
  for (const Round& round : decision) {
    blocks += round.trials.size() / kBlockTrials;
    absorb += round.absorb;
    look += round.look;
  }
  const double work = work_of(decision);
  const auto rounds = static_cast<double>(decision.size());
  std::printf(
      "opening %s: %zu rounds, %zu blocks, %.1f s; %.2f ms a block, %.2f us to take it in, "
      "%.2f ms a look\n",
      dice, decision.size(), blocks, work, 1e3 * work / static_cast<double>(blocks),
      1e6 * absorb / rounds, 1e3 * look / rounds);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fputs("usage: sixfold_scheduler NET [HALF_WIDTH [MESSAGE_MICROSECONDS]]\n", stderr);
    return 2;
  }
  const double half_width = argc > 2 ? std::atof(argv[2]) : 0.02;
  const double message = 1e-6 * (argc > 3 ? std::atof(argv[3]) : 50.0);
  try {
    Engine engine({.net = argv[1], .race_points = 0});
    const TrialPlayers players(engine.core().evaluator(), &engine.core().required_luck());
    constexpr std::array kRolls{"31", "64", "43", "21"};
    constexpr std::size_t kEntries = 40;
    std::vector<Rounds> decisions;
    for (const char* const dice : kRolls) {
      decisions.push_back(played_decision(players, parse_roll(dice), half_width));
      print_measured(dice, decisions.back());
    }
    std::vector<const Rounds*> queue;
    for (std::size_t i = 0; i < kEntries; ++i) queue.push_back(&decisions[i % decisions.size()]);
    std::printf("\nto +-%g, messages of %.0f us; share of their time at work\n", half_width,
                1e6 * message);
    std::printf("%6s %9s %16s %26s %22s\n", "", "threads,", "ranks,", "40 decisions one after",
                "40 decisions");
    std::printf("%6s %9s %16s %26s %22s\n", "", "opening 31", "opening 31", "the other, ranks",
                "at once, ranks");
    for (const std::size_t many : {2u, 8u, 16u, 64u, 256u, 1000u}) {
      const std::vector<const Rounds*> one{&decisions.front()};
      std::printf("%6zu %8.1f%% %15.1f%% %25.1f%% %21.1f%%\n", many,
                  100.0 * busy_threads(decisions.front(), many),
                  100.0 * busy_ranks(one, many, message, 1),
                  100.0 * busy_ranks(queue, many, message, 1),
                  100.0 * busy_ranks(queue, many, message, kEntries));
    }
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold_scheduler: %s\n", error.what());
    return 1;
  }
}
