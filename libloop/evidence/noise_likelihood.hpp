// How likely each of a grid of noises makes a row of readings.
#pragma once

#include <span>
#include <vector>

namespace libloop {

struct NoiseShape {
  double time = 0.0;        // s, in which the fading part falls to 1/e; 0: all is white
  double white = 1.0;       // share of the variance that is white
  double mean_share = 0.0;  // variance of the plain mean over that of one reading
};

struct WeighedNoise {
  NoiseShape noise;
  double weight = 0.0;       // all add to 1
  double variance = 0.0;     // of one reading
  double slope = 0.0;        // per s, generalised least squares
  double slope_share = 0.0;  // variance of the slope over that of one reading, 1/s2
};

// Restricted likelihood (Patterson & Thompson 1971, from memory) of level, with or without slope,
// over white noise and a grid of times and white shares. At least three readings, four with a
// slope. Linear in readings.
std::vector<WeighedNoise> weighed(std::span<const double> times, std::span<const double> values,
                                  bool with_slope);

}  // namespace libloop
