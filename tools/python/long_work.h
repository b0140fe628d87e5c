/// Long work on behalf of an interpreter that must not wait for it.
///
/// The work runs on a thread of its own. The thread that asked lets go of the interpreter's lock,
/// and takes it a few times a second to hand progress on and to hear of signals, so that other
/// threads run meanwhile and Ctrl-C ends the work.
#pragma once

#include <pybind11/pybind11.h>

#include <functional>

#include "session/sixfold.h"

namespace sixfold::python {

/// How it came to an end.
enum class WorkEnd {
  kDone,         ///< Or the callback said that it is enough.
  kInterrupted,  ///< By Ctrl-C: what is known so far is kept, KeyboardInterrupt is still to come.
};

/// Calls work(watch), which ends soon once watch.stop is set. `progress` is None, or gets
/// (trials done, trials expected, half-width or None, rollout); where it answers False the work is
/// stopped. What it raises stops the work and is raised again, as is what the work throws.
/// REQUIRES: the interpreter's lock is held.
[[nodiscard]] WorkEnd run_watched(const pybind11::object& progress,
                                  const std::function<void(const Watch&)>& work);

}  // namespace sixfold::python
