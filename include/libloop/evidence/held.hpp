// Whether a step of a log that may still run holds its power: what reduce() says of a point, before
// there is one.
//
//   const std::string why = libloop::throttled_in(log, libloop::steps(log).size() - 1);
//   if (!why.empty()) ...  // what settles now is a lower bound
//
// docs/theory/measurement.md.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "libloop/evidence/reduction.hpp"

namespace libloop {

// Why the power of a step (which of steps(log)) is that of a throttled chip, in sentences, by the
// end of the step; empty: it is not seen to be. Throws InputError (call) when there is no such
// step.
std::string throttled_in(const Log& log, std::size_t step);

// What a chip's limit says of a step: of the reading at its end when that is within 5 K of the
// limit (or above it), and of where it will settle, when that is above. K absolute; a `settled`
// that is no number says nothing.
std::vector<std::string> limit_cautions(const Log& log, const Step& step, double settled,
                                        double limit);

}  // namespace libloop
