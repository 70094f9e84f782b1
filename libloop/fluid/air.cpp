#include "libloop/fluid/air.hpp"

#include <cmath>

#include "libloop/math/dual.hpp"

namespace libloop::fluid {

using std::exp;
using std::pow;
using std::sqrt;

template <class G, class X>
Promote<G, X> air_density(X kelvin, G pascal) {
  constexpr double gas_constant = 8314.32 / 28.9644;
  return pascal / (gas_constant * kelvin);
}

template <class T>
T air_viscosity(T kelvin) {
  return 1.458e-6 * kelvin * sqrt(kelvin) / (kelvin + 110.4);
}

template <class T>
T air_conductivity(T kelvin) {
  constexpr double ln10 = 2.302585092994046;
  const T correction = 245.4 * exp(-12.0 * ln10 / kelvin);
  return 2.64638e-3 * kelvin * sqrt(kelvin) / (kelvin + correction);
}

template <class T>
T standard_pressure(T altitude_m) {
  constexpr double earth_radius = 6356766.0;
  // Height as if gravity did not weaken on the way up.
  const T geopotential = earth_radius * altitude_m / (earth_radius + altitude_m);
  return 101325.0 * pow(1.0 - 0.0065 * geopotential / 288.15, 5.255876);
}

template double air_density(double, double);
template Dual<1> air_density(Dual<1>, Dual<1>);
template Gradient air_density(double, Gradient);
template Gradient air_density(Gradient, double);
template Gradient air_density(Gradient, Gradient);
template double air_viscosity(double);
template Dual<1> air_viscosity(Dual<1>);
template Gradient air_viscosity(Gradient);
template double air_conductivity(double);
template Dual<1> air_conductivity(Dual<1>);
template Gradient air_conductivity(Gradient);
template double standard_pressure(double);
template Dual<1> standard_pressure(Dual<1>);
template Gradient standard_pressure(Gradient);

}  // namespace libloop::fluid
