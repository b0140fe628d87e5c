// `sixfold rollout` and `sixfold queue run` by many processes, on one machine or many: the same
// options, the same answers. Rank 0 reads, decides and prints; all ranks play.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <functional>
#include <memory>
#include <string>

#include "base/clean_text.h"
#include "base/format.h"
#include "base/input_error.h"
#include "tools/commands.h"
#include "tools/mpi/crew.h"
#include "tools/mpi/member.h"
#include "tools/mpi/post.h"
#include "tools/mpi/rank_runner.h"
#include "tools/mpi/shared_night.h"
#include "tools/options.h"
#include "tools/queue/command_line.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

class CommandLine {
 public:
  explicit CommandLine(Post& post) : post_(post), crew_(post) {
    app_.require_subcommand(1);
    set_help_form(app_);
    app_.set_version_flag("--version", format("sixfold-mpi {}", Engine::version()));
    app_.failure_message([](const CLI::App*, const CLI::Error& error) {
      return format("sixfold-mpi: {}\nsee `sixfold help rollout` and `sixfold queue run --help`\n",
                    error.what());
    });
    define_rollout(app_, rollout_, run_);
    define_queue_run(app_, queue_, run_);
  }

  int parse_and_run(int argc, char** argv) {
    try {
      app_.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
      return app_.exit(error) == 0 ? kDone : kUsage;
    }
    have_played_by_crew(rollout_.decision, rollout_.threads, 0);
    have_played_by_crew(queue_.common, queue_.threads, queue_.nice);
    queue_.run_night = [this](Night& night) { SharedNight(night, crew_).run(); };
    return run_();
  }

 private:
  /// Once there is an engine, all that it rolls out.
  void have_played_by_crew(PositionOptions& options, int& threads, int nice) {
    const int asked_for = threads;
    if (threads == 0) threads = post_.threads_each();
    options.prepare = [this, &options, asked_for, nice](Core& core) {
      const Provenance& made_by = core.provenance();
      const auto name = [](const std::string& net) { return net.substr(0, net.rfind('/')); };
      crew_.muster({std::string(Engine::version()),
                    {name(made_by.net), core.file(), core.match_table(), name(made_by.opponent_net),
                     core.opponents_file()},
                    options.cache,
                    options.instruction_set,
                    core.race_points(),
                    asked_for,
                    nice},
                   core);
      core.play_by([this, threads_each = core.threads()](RunControl control, StateKeeper* keeper) {
        return std::make_unique<RankRunner>(crew_, threads_each, std::move(control), keeper);
      });
    };
  }

  Post& post_;
  Crew crew_;
  CLI::App app_{"Sixfold's rollouts by many processes: run as mpirun -n N sixfold-mpi ...",
                "sixfold-mpi"};
  RolloutOptions rollout_;
  QueueOptions queue_;
  std::function<int()> run_;
};

int lead(Post& post, int argc, char** argv) {
  try {
    return CommandLine(post).parse_and_run(argc, argv);
  } catch (const InputError& error) {
    std::fprintf(stderr, "sixfold-mpi: %s\n", sixfold::clean_text(error.what()).c_str());
    return kBadInput;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "sixfold-mpi: internal error: %s\n",
                 sixfold::clean_text(error.what()).c_str());
    return kInternalError;
  }
}

/// Carries messages between rank 0 and the member of this process until all is done.
void follow(Post& post) {
  const std::string setup = post.broadcast();
  if (setup.empty()) return;  // There was nothing to play.
  MemberMail mail;
  const std::jthread member([&] { run_member(setup, post.threads_each(), mail); });
  Naps naps;
  while (true) {
    if (std::optional<FromRank> from = post.poll()) {
      naps.reset();
      if (from->message.kind == MessageKind::kStop) mail.stop = true;
      const bool is_last = from->message.kind == MessageKind::kEnd;
      mail.in.put(std::move(from->message));
      if (is_last) return;
    } else if (std::optional<Message> own = mail.out.take()) {
      naps.reset();
      post.send(0, std::move(*own));
    } else {
      naps.nap();
    }
  }
}

}  // namespace
}  // namespace sixfold::tools

int main(int argc, char** argv) {
  using namespace sixfold::tools;
  Post post(&argc, &argv);
  catch_interrupts();  // Rank 0 tells the others when to end.
  if (post.rank() == 0) return lead(post, argc, argv);
  follow(post);
  return kDone;
}
