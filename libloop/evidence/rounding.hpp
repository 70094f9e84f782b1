// What rounding leaves uncertain in a mean (docs/theory/measurement.md).
#pragma once

#include <span>

namespace libloop {

// Standard uncertainty of the mean of many readings rounded to `step`, whose noise before rounding
// has standard deviation `noise`: the root mean square over all places between two steps of
//
//   step/pi sum over k of (-1)^k/k exp(-2 (pi k noise/step)^2) sin(2 pi k place/step)
//
// Widrow, Kollar & Liu 1996 (from memory). step/sqrt 12 without noise, 0.354 of it at 0.2 steps of
// noise, 0.0056 at 0.5: noise dithers, and then the mean is better than a step.
double rounding_of_mean(double step, double noise);

// The noise before rounding, from readings after it and their standard deviation about their line.
// Readings that show no more than two steps say little of it: then at most a fifth of a step.
double noise_before_rounding(std::span<const double> values, double scatter, double step);

}  // namespace libloop
