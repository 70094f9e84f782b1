// Every course under every noise, weighed by how well it explains the readings.
//
// For one course and one noise the readings are linear in level and swing, and nearly so in how
// much quicker the truth runs, so what they say of the three is a normal distribution, and their
// likelihood has a closed form (Gaussian linear model). What is known of the rest of the step is
// the mixture of all of them.
#pragma once

#include <Eigen/Dense>
#include <functional>
#include <vector>

#include "libloop/evidence/blocks.hpp"
#include "libloop/evidence/forecast.hpp"

namespace libloop {

// One course under one noise, given the readings.
struct Explanation {
  std::size_t course = 0, noise = 0;
  double weight = 0.0;     // of all; sums to 1
  double swing = 0.0;      // K, about which it is linear
  Eigen::Vector3d mean;    // level, swing (K), logarithm of how much quicker it runs
  Eigen::Matrix3d spread;  // their covariance
};

struct Weighed {
  std::vector<Explanation> all;  // heaviest first; those that carry nothing are dropped
  std::vector<Noise> noises;
};

Weighed weigh(const Blocks& blocks, const Courses& courses, const std::vector<Noise>& noises);

// A normal distribution that carries a share of a mixture.
struct Share {
  double weight = 0.0, mean = 0.0, variance = 0.0;
};

// 5, 50 and 95 % points and the mean (as `typical`) of a mixture.
Interval interval_of(const std::vector<Share>& mixture);

// The mixture of what is linear in each explanation's three; `extra` adds to its variance.
std::vector<Share> mixture(const Weighed& weighed,
                           const std::function<Eigen::Vector3d(const Explanation&)>& direction,
                           const std::function<double(const Explanation&)>& extra);

// The same with all noises of a course as one: for pictures.
std::vector<Share> merged(const Weighed& weighed, std::vector<Share> mixture);

// How far the course that explains best leaves something unexplained: the sum of squares of the
// first six slow waves of the whitened residuals, of six independent ones if all is well.
double unexplained(const Blocks& blocks, const Courses& courses, const Weighed& weighed);

}  // namespace libloop
