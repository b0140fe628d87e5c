/// What made a result, for those who tell it. Results do not carry it.
#pragma once

#include <string>

namespace sixfold {

struct Provenance {
  std::string net;      ///< The network's name and identity.
  std::string version;  ///< Of the program.
};

}  // namespace sixfold
