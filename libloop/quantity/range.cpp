#include "libloop/quantity/range.hpp"

#include <algorithm>
#include <cmath>

namespace libloop {
namespace {

constexpr double z95 = 1.6448536269514722;
constexpr double even = 1e-7;  // below this bend the map is straight to rounding

}  // namespace

Spread::Spread(const Range& range, Transform transform, double min, double max)
    : transform_(transform),
      min_(min),
      max_(max),
      middle_(scaled(range.typical)),
      stretch_(0.0),
      bend_(0.0) {
  if (range.exact()) return;
  const double down = middle_ - scaled(range.low);
  const double up = scaled(range.high) - middle_;
  bend_ = std::log(up / down) / z95;
  stretch_ = std::abs(bend_) < even ? up / z95 : up * bend_ / std::expm1(bend_ * z95);
}

double Spread::scaled(double value) const {
  switch (transform_) {
    case Transform::log:
      return std::log(value);
    case Transform::logit:
      return std::log((value - min_) / (max_ - value));
    case Transform::none:
      break;
  }
  return value;
}

double Spread::unscaled(double t) const {
  switch (transform_) {
    case Transform::log:
      return std::exp(t);
    case Transform::logit:
      return min_ + (max_ - min_) / (1.0 + std::exp(-t));
    case Transform::none:
      break;
  }
  return t;
}

double Spread::at(double z) const {
  const double step =
      std::abs(bend_) < even ? stretch_ * z : stretch_ * std::expm1(bend_ * z) / bend_;
  return unscaled(middle_ + step);
}

double Spread::slope(double z) const {
  const double along = stretch_ * std::exp(bend_ * z);
  const double value = at(z);
  switch (transform_) {
    case Transform::log:
      return value * along;
    case Transform::logit:
      return (value - min_) * (max_ - value) / (max_ - min_) * along;
    case Transform::none:
      break;
  }
  return along;
}

double Spread::z_of(double value) const {
  const double step = scaled(value) - middle_;
  if (stretch_ == 0.0) return 0.0;
  if (std::abs(bend_) < even) return step / stretch_;
  // A bent map has an end on one side; beyond it z is taken far out, not undefined.
  return std::log(std::max(1e-300, 1.0 + bend_ * step / stretch_)) / bend_;
}

}  // namespace libloop
