// A number, or a number with its doubt: median and the 5 and 95 % points.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

// All in SI. low = typical = high: exact.
struct Range {
  double low = 0.0, typical = 0.0, high = 0.0;
  bool exact() const { return low == high; }
};

// The smooth monotone map from a standard normal z to the quantity, through the three
// points of a range on the scale of its transform:
//   t = m + a (e^(k z) - 1) / k,  k = ln((high - m) / (m - low)) / 1.645,
// and t = m + a z as k goes to 0. There is no kink at the median.
class Spread {
 public:
  // min and max bound the logit; they must enclose the range strictly.
  Spread(const Range& range, Transform transform, double min, double max);

  double at(double z) const;
  double slope(double z) const;  // d value / d z
  double z_of(double value) const;

 private:
  double scaled(double value) const;
  double unscaled(double t) const;

  Transform transform_;
  double min_, max_;
  double middle_, stretch_, bend_;
};

}  // namespace libloop
