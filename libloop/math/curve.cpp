#include "libloop/math/curve.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

void require(bool met, Code code, const char* sentence) {
  if (!met)
    throw InputError(Problem{.code = code, .message = sentence, .suggestion = {}, .place = {}});
}

void require_curve(std::span<const double> x, std::span<const double> y) {
  require(x.size() == y.size(), Code::call, "a curve needs one y for each x");
  require(x.size() >= 2, Code::missing, "a curve needs at least two points");
  for (std::size_t i = 0; i < x.size(); ++i) {
    require(std::isfinite(x[i]) && std::isfinite(y[i]), Code::bounds,
            "the points of a curve must be finite numbers");
    require(i == 0 || x[i] > x[i - 1], Code::order,
            "the x of a curve must increase from point to point");
  }
}

// Slope at a point between chords `left` and `right` of lengths hl and hr: zero at a
// turning point, else their weighted harmonic mean.
double inner_slope(double hl, double left, double hr, double right) {
  if (left * right <= 0.0) return 0.0;
  const double wl = 2.0 * hr + hl;
  const double wr = hr + 2.0 * hl;
  return (wl + wr) / (wl / left + wr / right);
}

// Slope at an end: the parabola through three points, kept monotone.
double end_slope(double h, double chord, double next_h, double next_chord) {
  const double slope = ((2.0 * h + next_h) * chord - h * next_chord) / (h + next_h);
  if (slope * chord <= 0.0) return 0.0;
  if (chord * next_chord <= 0.0 && std::abs(slope) > 3.0 * std::abs(chord)) return 3.0 * chord;
  return slope;
}

}  // namespace

MonotoneCurve::MonotoneCurve(std::span<const double> x, std::span<const double> y)
    : x_(x.begin(), x.end()), y_(y.begin(), y.end()), slope_(x.size()) {
  require_curve(x, y);
  const std::size_t last = x.size() - 1;
  const auto width = [&](std::size_t i) { return x[i + 1] - x[i]; };
  const auto chord = [&](std::size_t i) { return (y[i + 1] - y[i]) / width(i); };
  if (last == 1) {
    slope_ = {chord(0), chord(0)};
    return;
  }
  for (std::size_t i = 1; i < last; ++i) {
    slope_[i] = inner_slope(width(i - 1), chord(i - 1), width(i), chord(i));
  }
  slope_[0] = end_slope(width(0), chord(0), width(1), chord(1));
  slope_[last] = end_slope(width(last - 1), chord(last - 1), width(last - 2), chord(last - 2));
}

MonotoneCurve::Local MonotoneCurve::find(double x) const {
  const std::size_t last = x_.size() - 1;
  if (x <= x_[0]) return {y_[0] + slope_[0] * (x - x_[0]), slope_[0]};
  if (x >= x_[last]) return {y_[last] + slope_[last] * (x - x_[last]), slope_[last]};
  const auto above = std::upper_bound(x_.begin(), x_.end(), x);
  const std::size_t i = static_cast<std::size_t>(above - x_.begin()) - 1;
  const double h = x_[i + 1] - x_[i];
  const double t = (x - x_[i]) / h;
  const double chord = (y_[i + 1] - y_[i]) / h;
  const double square = (3.0 * chord - 2.0 * slope_[i] - slope_[i + 1]) * t;
  const double cube = (slope_[i] + slope_[i + 1] - 2.0 * chord) * t * t;
  return {y_[i] + h * t * (slope_[i] + square + cube), slope_[i] + 2.0 * square + 3.0 * cube};
}

}  // namespace libloop
