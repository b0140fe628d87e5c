#include <cstdio>

#include "evaluator/network_file.h"
#include "rules/notation.h"
#include "rules/start.h"
#include "study/decision.h"

int main() {
  const sixfold::NetworkEvaluator evaluator(sixfold::load_network(STANDARD_NET).networks);
  const sixfold::Decision decision{sixfold::start_position(), sixfold::make_roll(3, 1),
                                   sixfold::money_score()};
  const sixfold::Evaluation evaluation = sixfold::evaluate_decision(evaluator, decision);
  std::puts(
      sixfold::play_text(decision.position, *decision.roll, evaluation.plays.front().play).c_str());
}
