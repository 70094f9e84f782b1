// The steady end of a step.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "libloop/evidence/reduction.hpp"

namespace libloop {

struct SteadyRule {
  double creep = 0.1 / 60.0;  // K/s
  double shortest = 60.0;     // s
  double confidence = 0.95;
  double rounding = 0.0;  // K, what rounding leaves uncertain in a level (rounding_of_mean)
};

struct SteadyWindow {
  std::size_t first = 0;  // of the readings given; it ends with the last
  bool settled = false;
  std::string why;  // it is not: "it still creeps by 0.4 K/min"
  Mean mean;
  double creep = 0.0, u_creep = 0.0;  // K/s
  double lag = 0.0;                   // s, by which the rise comes behind
  double u_remaining = 0.0;           // K, standard uncertainty by what is still to come
  double scatter = 0.0;               // K, of one reading about its line
};

// Of the readings of one step: `times` rise strictly. Nothing when they span less than
// rule.shortest or are fewer than six.
std::optional<SteadyWindow> steady_window(std::span<const double> times,
                                          std::span<const double> rise, const SteadyRule& rule);

}  // namespace libloop
