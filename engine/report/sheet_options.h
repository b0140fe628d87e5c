/// What a sheet says beyond the lesson itself.
#pragma once

#include <string>

namespace sixfold {

struct SheetOptions {
  bool is_quiz = false;  ///< Questions first, answers folded.
  std::string command;   ///< That makes the same sheet again.
  std::string version;   ///< Of the program.
};

}  // namespace sixfold
