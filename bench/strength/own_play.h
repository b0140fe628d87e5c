// Static values against what comes of a net's own play.
#pragma once

#include <string>

namespace sixfold {

// Prints, for several lambdas, how far static values are from the mean TD(lambda) return of the
// net's own games on from there, without the returns' noise, and how much one return varies: by the
// luck networks' estimates and by mended ones. Lambda 1 asks for all that is wrong, lambda 0 for
// what a roll of lookahead would mend. Positions with contact, every eighth turn of `games` games,
// each played on `trials` times. The luck networks are those of the file `luck`, which may be of
// another net: values do not depend on them but for noise. Throws InputError if it has none.
void print_own_play(const std::string& net, const std::string& luck, int games, int trials,
                    int threads);

}  // namespace sixfold
