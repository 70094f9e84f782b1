// How far behind a rise comes: the course of the slow end of a step.
#pragma once

#include <span>

namespace libloop {

// left(t) = left exp(-(t - start)/lag)
struct SlowEnd {
  double start = 0.0;  // s
  double left = 0.0;   // K, of the way still to go at the start; 0: none is seen above the noise
  double lag = 0.0;    // s
  // In the mean from one time to another.
  double remaining(double from, double to) const;
};

// One exponential, by least squares, from where a step's swing has gone through 63 %: by then
// little but its slowest part is left. Where it shows no swing above its noise, the lag is a sixth
// of the step (judgement). Never longer than the step.
SlowEnd slow_end_of(std::span<const double> times, std::span<const double> values);

}  // namespace libloop
