// A program of somebody else's: which play of an opening 64 is right?
#include <cstdio>
#include <sixfold/sixfold.h>

int main() {
  sixfold::Engine engine({.net = STANDARD_NET});
  const auto rolled = engine.rollout({.after = "31: 8/5 6/5", .dice = "64"}, {.trials = 36});
  for (const sixfold::RolledPlayAnswer& play : rolled.plays()) {
    std::printf("%-12s %+.3f ± %.3f\n", play.play.c_str(), play.equity.mean,
                play.equity.half_width);
  }
}
