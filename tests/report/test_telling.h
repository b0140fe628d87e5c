/// What the tests' reports say beyond results.
#pragma once

#include "report/telling.h"

namespace sixfold {

/// With a name as long as that of the shipped net with its identity.
inline const Provenance kMadeBy{"standard/0123456789abcdef", "1.2.3"};
inline const Telling kTelling{kMadeBy};
inline const LessonTelling kLessonTelling{kMadeBy, 0.0, {}, {}};

}  // namespace sixfold
