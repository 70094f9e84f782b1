// Falling drops: where they drive the flows on, and what to do instead of Newton there.
#pragma once

#include <span>
#include <vector>

#include "libloop/network/linear.hpp"

namespace libloop::network {

// Slopes of the drops, by place, with the parts that fall turned up: every branch's own
// slope becomes its size, at least a little. The loops' matrix is then positive definite.
std::vector<double> turned_up(const Circuit& circuit, std::span<const double> slope);

bool any_falls(const Circuit& circuit, std::span<const double> slope);

struct Falling {
  double gain = 0.0;              // at 1 and above, disturbances grow
  std::vector<double> direction;  // flows by branch along which they grow most
};

// With D = U - S, U turned up and S the turning of the falling branches, the loops' matrix
// Z'DZ is positive definite when the largest eigenvalue of S^1/2 G S^1/2 is below 1, G the
// flows through the falling branches by unit pressures in them at slopes U.
// `linear` is left factored for U.
Falling falling(const Circuit& circuit, std::span<const double> slope, Linear& linear);

}  // namespace libloop::network
