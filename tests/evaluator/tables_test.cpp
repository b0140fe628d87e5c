// Where an evaluator has tables it answers from them, and says so.
#include <catch2/catch.hpp>
#include <filesystem>
#include <vector>

#include "evaluator/evaluator.h"
#include "evaluator/network_file.h"
#include "rules/notation.h"
#include "rules/plays.h"

namespace sixfold {
namespace {

struct Evaluators {
  ExactTables tables;
  NetworkEvaluator with;
  NetworkEvaluator without;
};

const Evaluators& evaluators() {
  static const Evaluators both = [] {
    Workers workers(2);
    TableCache cache;
    ExactTables tables = ExactTables::bear_offs(kHomePoints, workers, cache);
    SolvedGame::Settings one_checker;
    tables.game = std::make_shared<SolvedGame>(*SolvedGame::solve(one_checker, workers));
    const NetworkFile net =
        load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors");
    return Evaluators{tables, NetworkEvaluator(net.networks, best_instruction_set(), tables),
                      NetworkEvaluator(net.networks)};
  }();
  return both;
}

}  // namespace

TEST_CASE("An evaluator answers from tables where they hold a position, and says so") {
  struct Case {
    const char* position;
    int checkers;
    Method method;
  };
  const auto given =
      GENERATE(Case{"5 2 / 4 1", 15, Method::kExact}, Case{"6x6 / 6x6", 15, Method::kExact},
               Case{"6x2 / ", 15, Method::kExact}, Case{"24 / 24", 1, Method::kExact},
               Case{"bar / 6", 1, Method::kExact}, Case{"6x7 / 6x6", 15, Method::kRaceTable},
               Case{"6x15 / 6x15", 15, Method::kRaceTable},
               Case{"6x15 / 1", 15, Method::kRaceTable}, Case{"7 / 6", 15, Method::kNetwork},
               Case{"6x3 / 6x3", 3, Method::kNetwork}, Case{"6x2 2 / 24", 15, Method::kNetwork});
  INFO(given.position);
  const auto& [tables, with, without] = evaluators();
  const Position position = parse_position(given.position, given.checkers);
  REQUIRE(with.method(position) == given.method);
  const OutcomeDistribution found = with.evaluate(position);
  if (given.method == Method::kNetwork) {
    CHECK(found == without.evaluate(position));
    CHECK_FALSE(with.known(position));
  } else if (given.method == Method::kRaceTable) {
    CHECK(found == tables.one_sided->race_outcomes(position));
    CHECK_FALSE(with.known(position));
  } else {
    CHECK(found == *with.known(position));
    if (!game_over(position)) CHECK(without.method(position) == Method::kNetwork);
  }
}

TEST_CASE(
    "The children of a parent have the values that they have by themselves, with tables too") {
  const auto& evaluator = evaluators().with;
  // Children in the exact table, in the race table, finished, and left to the network.
  for (const char* text : {"6x6 5 / 6x6", "7 5 / 6x3", "1x2 / 6x15", "13 6x3 / 24 6x2"}) {
    const Position parent = parse_position(text);
    for (const Roll roll : kRolls) {
      PlayList plays;
      generate_plays(parent, roll, plays);
      std::vector<OutcomeDistribution> outcomes(plays.size());
      evaluator.evaluate_children(parent, plays.span(), outcomes);
      for (std::size_t i = 0; i < plays.size(); ++i) {
        const OutcomeDistribution alone =
            reversed(evaluator.evaluate(position_after(parent, plays[i])));
        for (std::size_t o = 0; o < kOutcomeCount; ++o) {
          REQUIRE(outcomes[i][o] == Approx(alone[o]).margin(1e-6));
        }
      }
    }
  }
}

TEST_CASE("shares that tables tell are never below 0 or above 1, and add up") {
  // Sides with two checkers left, against one another and every full board of one or two points.
  std::vector<Side> few;
  std::vector<Side> full;
  for (int a = 1; a <= kHomePoints; ++a) {
    for (int b = a; b <= kHomePoints; ++b) {
      Side two;
      two.add(a, 1);
      two.add(b, 1);
      two.add(kOff, kMaxCheckers - 2);
      few.push_back(two);
      full.push_back(two);
      for (int count = 0; count <= (a == b ? 0 : kMaxCheckers); ++count) {
        Side board;
        board.add(a, kMaxCheckers - count);
        board.add(b, count);
        full.push_back(board);
      }
    }
  }
  for (const Side& left : few) {
    for (const Side& board : full) {
      for (const Position& position : {Position{left, board}, Position{board, left}}) {
        const OutcomeDistribution outcomes = evaluators().with.evaluate(position);
        double sum = 0.0;
        for (const double share : outcomes.probability) {
          REQUIRE((share >= 0.0 && share <= 1.0));
          sum += share;
        }
        REQUIRE(sum == Approx(1.0).margin(1e-12));
      }
    }
  }
}

}  // namespace sixfold
