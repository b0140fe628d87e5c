/// Where the next trials of a night are best spent. Pure functions.
///
/// Entries of a higher priority come first. Among equals: first every part to its floor, in order;
/// then to its wanted precision, those first whose verdict more trials are likeliest to settle for
/// the time that they take; then those whose verdict is settled but not known that well; and, with
/// time left over, open verdicts go on beyond what was asked for.
///
/// What is played, and when, does not bend what is found: what a part holds after k rounds depends
/// on the part and k alone.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "queue/queue_file.h"

namespace sixfold {

/// The chance for each second of work that more trials make a verdict clear, at the best moment to
/// look: the truth is taken to be normal about what is known, and errors to shrink with the root of
/// the trials, down to a half-width of `end`. 0 where it is clear, or nothing is known yet.
[[nodiscard]] double settling_rate(const Standing& standing, double end);

/// What may go on, by places in the list, what goes on next first. `beyond`: whether there is time
/// for more than was asked for.
[[nodiscard]] std::vector<std::size_t> all_up(std::span<const PartAt> parts, bool beyond);
/// The first of them; nothing where all is done.
[[nodiscard]] std::optional<std::size_t> next_up(std::span<const PartAt> parts, bool beyond);

/// The seconds of work that are likely to be left for what was asked for: parts that have not been
/// looked at are taken to be like the others. Nothing before any has been.
[[nodiscard]] std::optional<double> seconds_left(std::span<const PartAt> parts);

}  // namespace sixfold
