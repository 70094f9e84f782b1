// Means and slopes of readings whose noise remembers itself (docs/theory/measurement.md).
//
//   reading = level (+ slope x time) + noise
//   noise   = a part that fades as exp(-time/tau), and a white part
//
// Neither tau nor the white share is known: every pair of a grid is weighed by how likely it makes
// the readings, and what is told is the mean over all. Readings may lie at any distances, so that
// missing ones need no care.
#pragma once

#include <span>

#include "libloop/evidence/reduction.hpp"

namespace libloop {

struct Trend {
  double slope = 0.0, u = 0.0;  // per s
  double freedom = 0.0;         // of u
  double scatter = 0.0;         // standard deviation of one reading about the line
  double correlation_time = 0.0;
  double independent = 1.0;
};

// `times` rise strictly; all values are readings. Fewer than three: no uncertainty is known, and
// all but the value is 0.
Mean mean_of(std::span<const double> times, std::span<const double> values);
Trend trend_of(std::span<const double> times, std::span<const double> values);

}  // namespace libloop
