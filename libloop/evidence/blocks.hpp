// Readings as means of neighbours, and how their noise hangs together.
#pragma once

#include <Eigen/Dense>
#include <span>
#include <vector>

namespace libloop {

// Means of `per_block` readings each.
struct Blocks {
  Eigen::VectorXd times, values;  // s since the step; K
  int per_block = 1;
  std::vector<double> read_at;  // s, of every reading, block by block
  double spacing = 1.0;         // s, between readings
  int readings = 0;

  double span() const { return times.size() > 1 ? times[times.size() - 1] - times[0] : 0.0; }
};

// Of what was read after `from`, at most `most` blocks.
Blocks blocks_of(std::span<const double> times, std::span<const double> values, double from,
                 int most = 100);

// Noise of one reading: a part that fades with exp(-lag/correlation_time), and a white one.
struct Noise {
  double deviation = 0.0;         // K, of the part that hangs together
  double correlation_time = 0.0;  // s; 0: white
  double white = 0.0;             // K, of rounding
  double drift = 0.0;             // K, of what no course follows; fades within drift_time
};

inline constexpr double drift_time = 60.0;  // s, judgement

// Covariance of the means of blocks, exact for readings at any times.
Eigen::MatrixXd covariance(const Blocks& blocks, const Noise& noise);

}  // namespace libloop
