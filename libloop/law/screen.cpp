#include "libloop/law/screen.hpp"

#include <cmath>

#include "libloop/law/lift.hpp"

namespace libloop::law {

using std::sqrt;

template <class T>
T screen_loss(T open_share) {
  // The closed share before the bracket: its root then has a finite slope at 0.
  const T closed = 1.0 - open_share;
  const T bracket = 0.707 + sqrt(closed + tiny);
  return closed * bracket * bracket / (open_share * open_share);
}

template <class T>
T orifice_drop(T flow, T area, T density, T viscosity) {
  const T creep = 10.0 * viscosity * sqrt(area);
  return flow * sqrt(flow * flow + creep * creep) / (2.0 * density * area * area);
}

template double screen_loss(double);
template Dual<1> screen_loss(Dual<1>);
template Gradient screen_loss(Gradient);
template double orifice_drop(double, double, double, double);
template Dual<1> orifice_drop(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Gradient orifice_drop(Gradient, Gradient, Gradient, Gradient);

}  // namespace libloop::law
