#include "libloop/report/scales.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {

Scale::Scale(std::string_view unit, double largest) : unit_(unit) {
  constexpr double third_digit = 0.1, one_decimal = 5.0;
  width_ = std::min(one_decimal, third_digit * to_unit(largest, unit));
}

std::string Scale::operator()(double si) const { return rounded(to_unit(si, unit_), width_); }

std::string Scale::change(double si) const {
  const std::string number = (*this)(si);
  const bool plus = si > 0.0 && number.find_first_not_of("0.") != std::string::npos;
  return plus ? '+' + number : number;
}

std::string Scale::with_unit(double si) const { return (*this)(si) + ' ' + unit_; }

Scales scales_of(const Course& course) {
  double flow = 0.0, pressure = 0.0;
  const double start = course.places.at(course.start).pressure;
  for (const PartPoint* part : course.parts) {
    flow = std::max(flow, std::abs(part->volume_flow));
    pressure = std::max({pressure, std::abs(part->drop), std::abs(part->pressure - start)});
  }
  return {Scale(course.air ? "m3/h" : "L/min", flow), Scale(course.air ? "Pa" : "kPa", pressure)};
}

}  // namespace libloop::report
