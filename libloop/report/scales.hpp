// Units and decimals of a stream's numbers in a picture.
#pragma once

#include <string>
#include <string_view>

#include "libloop/report/ways.hpp"

namespace libloop::report {

// Numbers of one kind in their unit, with the decimals of the largest of them.
class Scale {
 public:
  Scale(std::string_view unit, double largest);

  std::string operator()(double si) const;
  std::string change(double si) const;     // with its sign: "+9.3"
  std::string with_unit(double si) const;  // "9.3 kPa"
  const std::string& unit() const { return unit_; }

 private:
  std::string unit_;
  double width_;
};

struct Scales {
  Scale flow, pressure;
};

// L/min and kPa of coolant, m3/h and Pa of air.
Scales scales_of(const Course& course);

}  // namespace libloop::report
