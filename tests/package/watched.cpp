// A program of somebody else's: a rollout that tells how far it has come, and that Ctrl-C ends;
// what is known by then is told.
#include <sixfold/sixfold.h>

#include <atomic>
#include <csignal>
#include <cstdio>

namespace {

std::atomic<bool> stop{false};

void show(const sixfold::WorkProgress& at) {
  if (at.trials_done % 1000 != 0) return;
  std::fprintf(stderr, "%llu trials, costs known to %.3f\n",
               static_cast<unsigned long long>(at.trials_done), at.half_width.value_or(1.0));
}

}  // namespace

int main() {
  std::signal(SIGINT, [](int) { stop = true; });
  sixfold::Engine engine({.net = STANDARD_NET});
  const sixfold::RolloutAnswer answer =
      engine.rollout({.after = "31: 8/5 6/5", .dice = "64"}, {.half_width = 0.05}, {&stop, show});
  if (answer.interrupted()) std::printf("stopped early\n");
  for (const sixfold::RolledPlayAnswer& play : answer.plays()) {
    std::printf("%-12s costs %.3f ± %.3f\n", play.play.c_str(), play.cost.mean,
                play.cost.half_width);
  }
}
