// A smooth curve through measured points that adds no wiggles of its own.
//
// You need this header when a law is given as a table: a pump or fan curve, a duty
// curve. Between points the curve is a cubic whose slopes at the points are limited so
// that it rises where the points rise and falls where they fall (Fritsch & Carlson,
// SIAM J. Numer. Anal. 17:238, 1980; slopes at the points after Fritsch & Butland,
// SIAM J. Sci. Stat. Comput. 5:300, 1984). Beyond the ends it goes on straight, with the
// slope it has there. Value and slope are continuous everywhere.
#pragma once

#include <span>
#include <vector>

#include "libloop/math/dual.hpp"

namespace libloop {

class MonotoneCurve {
 public:
  // At least two points, x strictly increasing, all finite: anything else throws
  // InputError.
  MonotoneCurve(std::span<const double> x, std::span<const double> y);

  double at(double x) const { return find(x).value; }
  template <int N>
  Dual<N> at(const Dual<N>& x) const {
    const Local here = find(x.value);
    return x.chain(here.value, here.slope);
  }

  double slope(double x) const { return find(x).slope; }

  std::span<const double> x() const { return x_; }
  std::span<const double> y() const { return y_; }

 private:
  struct Local {
    double value;
    double slope;
  };
  Local find(double x) const;

  std::vector<double> x_;
  std::vector<double> y_;
  std::vector<double> slope_;  // at the points
};

}  // namespace libloop
