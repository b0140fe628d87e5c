#include "tools/mpi/member.h"

#include <exception>
#include <memory>
#include <utility>
#include <vector>

#include "base/bytes.h"
#include "base/input_error.h"
#include "queue/turn.h"
#include "queue/turn_bytes.h"
#include "tools/places.h"
#include "tools/queue/jobs.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

constexpr const char* kTask = "what rank 0 hands out";

/// States that rank 0 keeps.
class StatesElsewhere final : public StateStore {
 public:
  explicit StatesElsewhere(MemberMail& mail) : mail_(mail) {}

  [[nodiscard]] const std::string& name() const noexcept override { return name_; }
  [[nodiscard]] std::optional<std::string> state(std::int64_t id, std::uint64_t plan) override {
    ByteWriter wanted;
    wanted.add(id);
    wanted.add(plan);
    mail_.out.put({MessageKind::kWantState, wanted.bytes()});
    const Message reply = mail_.in.wait();
    if (reply.kind == MessageKind::kEnd) {
      has_ended_ = true;
      throw InputError("the job has ended", kTask, "");
    }
    ByteReader bytes(reply.body, kTask);
    name_ = bytes.take_text();
    const std::string error = bytes.take_text();
    if (!error.empty()) throw InputError(error, "", "");
    return bytes.take_flag() ? std::optional(bytes.take_text()) : std::nullopt;
  }
  void keep_state(std::int64_t id, std::uint64_t plan, std::string_view state) override {
    ByteWriter kept;
    kept.add(id);
    kept.add(plan);
    kept.add_text(state);
    mail_.out.put({MessageKind::kKeepState, kept.bytes()});
  }

  /// While a state was waited for.
  [[nodiscard]] bool has_ended() const noexcept { return has_ended_; }

 private:
  MemberMail& mail_;
  std::string name_;  ///< The queue's, as rank 0 says.
  bool has_ended_ = false;
};

/// A plan, and what its blocks are played with.
struct Planned {
  Planned(RolloutPlan its, const Core& core)
      : plan(std::move(its)), players(core.players()), trials(plan, players) {}
  RolloutPlan plan;
  TrialPlayers players;
  PlannedTrials trials;
};

class Member {
 public:
  Member(Core& core, MemberMail& mail)
      : core_(core), mail_(mail), states_(mail), workers_(core.threads()) {}

  void serve() {
    while (!states_.has_ended()) {
      const Message message = mail_.in.wait();
      if (message.kind == MessageKind::kPlan) take_plan(message.body);
      if (message.kind == MessageKind::kBlocks) play_blocks_of(message.body);
      if (message.kind == MessageKind::kTurn) play_turn_of(message.body);
      if (message.kind == MessageKind::kEnd) return;
    }
  }

 private:
  void take_plan(const std::string& body) {
    planned_ = std::make_unique<Planned>(
        RolloutPlan::load(body, core_.match_table(), core_.tables().two_sided, kTask), core_);
  }

  void play_blocks_of(const std::string& body) {
    const auto places = ByteReader(body, kTask).take_list<BlockPlace>();
    ByteWriter played;
    played.add_list(
        play_blocks(planned_->trials, places, workers_, [&] { return mail_.stop.load(); }));
    mail_.out.put({MessageKind::kPlayed, played.bytes()});
  }

  void play_turn_of(const std::string& body) {
    ByteReader bytes(body, kTask);
    const TurnTask task = take_turn_task(bytes);
    const TurnTools tools{core_, states_,
                          [&](StateKeeper& keeper) {
                            return std::make_unique<ThreadRunner>(core_.threads(),
                                                                  RunControl{&mail_.stop}, &keeper);
                          },
                          &mail_.stop};
    try {
      ByteWriter turn;
      add(turn, play_turn(tools, read_entry(task.entry, core_).job, task.part));
      mail_.out.put({MessageKind::kTurnEnded, turn.bytes()});
    } catch (const InputError& error) {
      mail_.out.put({MessageKind::kTurnFailed, error.what()});
    }
  }

  Core& core_;
  MemberMail& mail_;
  StatesElsewhere states_;
  Workers workers_;
  std::unique_ptr<Planned> planned_;
};

void play_by(const std::string& received, int threads, MemberMail& mail) {
  std::optional<Setup> setup = setup_of(received);
  if (!setup) {
    const MemberIdentity other{host_name(), std::string(Engine::version()), "", ""};
    mail.out.put({MessageKind::kReady, identity_bytes(other)});
    return;
  }
  be_nice(setup->nice);
  EngineOptions options;
  options.cache = cache_directory(setup->cache);
  options.threads = setup->threads > 0 ? setup->threads : threads;
  options.instruction_set = setup->instruction_set;
  options.race_points = setup->race_points;
  options.note = [&](const std::string& line) {
    mail.out.put({MessageKind::kNote, host_name() + ": " + line});
  };
  Core core(std::move(setup->files), options);
  mail.out.put({MessageKind::kReady, identity_bytes(identity_of(core))});
  Member(core, mail).serve();
}

}  // namespace

void run_member(const std::string& setup, int threads, MemberMail& mail) {
  try {
    play_by(setup, threads, mail);
  } catch (const std::exception& error) {
    mail.out.put({MessageKind::kBroken, host_name() + ": " + error.what()});
  }
}

}  // namespace sixfold::tools
