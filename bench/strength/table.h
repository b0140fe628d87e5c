// The yardstick's table for one net.
#pragma once

#include <string>
#include <vector>

namespace sixfold {

struct TableInputs {
  std::string net;
  std::vector<std::string> judgements;  // one file a judge, of the committed decisions
  std::vector<std::string> rivals;      // nets to play against
  std::string source;                   // the project's directory
  int threads = 1;
};

// Prints it. Throws InputError for files that can't be used.
void print_strength(const TableInputs& inputs);

}  // namespace sixfold
