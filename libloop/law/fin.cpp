#include "libloop/law/fin.hpp"

#include <cmath>

#include "libloop/law/lift.hpp"

namespace libloop::law {
namespace {

// tanh(x)/x and its derivative by z = x^2, analytic in z.
struct Local {
  double value;
  double slope;
};
Local efficiency_of_square(double z) {
  if (z < 1e-3) {
    return {1.0 - z * (1.0 / 3 - z * (2.0 / 15 - z * (17.0 / 315 - z * 62.0 / 2835))),
            -1.0 / 3 + z * (4.0 / 15 - z * (17.0 / 105 - z * 248.0 / 2835))};
  }
  const double x = std::sqrt(z);
  const double hyperbolic = std::tanh(x);
  const double value = hyperbolic / x;
  return {value, 0.5 * (1.0 - hyperbolic * hyperbolic - value) / z};
}

}  // namespace

template <class T>
T fin_parameter(T heat_coefficient, T conductivity, T thickness) {
  using std::sqrt;
  return sqrt(2.0 * heat_coefficient / (conductivity * thickness));
}

template <class T>
T fin_efficiency(T m_l) {
  const double x = value_of(m_l);
  const Local efficiency = efficiency_of_square(x * x);
  return lift(m_l, efficiency.value, 2.0 * x * efficiency.slope);
}

template <class G, class X>
Promote<G, X> plate_fin_efficiency(X heat_coefficient, G conductivity, G thickness, G length) {
  const G scale = 2.0 * length * length / (conductivity * thickness);
  const Promote<G, X> square = scale * heat_coefficient;
  const Local efficiency = efficiency_of_square(value_of(square));
  return lift(square, efficiency.value, efficiency.slope);
}

template <class G, class X>
Promote<G, X> surface_efficiency(X fin_efficiency, G fin_share) {
  return 1.0 - fin_share * (1.0 - fin_efficiency);
}

template double fin_parameter(double, double, double);
template double fin_efficiency(double);
template double plate_fin_efficiency(double, double, double, double);
template double surface_efficiency(double, double);
template Dual<1> fin_parameter(Dual<1>, Dual<1>, Dual<1>);
template Dual<1> fin_efficiency(Dual<1>);
template Dual<1> plate_fin_efficiency(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Dual<1> surface_efficiency(Dual<1>, Dual<1>);
template Gradient fin_parameter(Gradient, Gradient, Gradient);
template Gradient fin_efficiency(Gradient);
template Gradient plate_fin_efficiency(Gradient, double, double, double);
template Gradient plate_fin_efficiency(Gradient, Gradient, Gradient, Gradient);
template Gradient surface_efficiency(Gradient, double);
template Gradient surface_efficiency(Gradient, Gradient);

}  // namespace libloop::law
