// A program of somebody else's: which play of an opening 64 is right?
#include <sixfold/sixfold.h>

#include <cstdio>

int main() {
  sixfold::Engine engine({.net = STANDARD_NET});
  const auto rolled = engine.rollout({.after = "31: 8/5 6/5", .dice = "64"}, {.half_width = 0.05});
  for (const sixfold::RolledPlayAnswer& play : rolled.plays()) {
    std::printf("%-12s %+.3f ± %.3f\n", play.play.c_str(), play.equity.mean,
                play.equity.half_width);
  }
}
