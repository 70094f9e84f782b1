#include "libloop/law/layer.hpp"

#include <cmath>

namespace libloop::law {

template <class T>
T layer_resistance(T thickness, T conductivity, T area) {
  return thickness / (conductivity * area);
}

template <class T>
T contact_resistance(T specific_resistance, T area) {
  return specific_resistance / area;
}

template <class T>
T joint_resistance(T thickness, T conductivity, T specific_resistance, T area) {
  return (thickness / conductivity + specific_resistance) / area;
}

template <class T>
T bond_line(T yield_stress, T pressure) {
  using std::pow;
  return 1.31e-4 * pow(yield_stress / pressure, 0.166);
}

template double layer_resistance(double, double, double);
template double contact_resistance(double, double);
template double joint_resistance(double, double, double, double);
template double bond_line(double, double);

template Dual<1> layer_resistance(Dual<1>, Dual<1>, Dual<1>);
template Dual<1> contact_resistance(Dual<1>, Dual<1>);
template Dual<1> joint_resistance(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Dual<1> bond_line(Dual<1>, Dual<1>);

template Gradient layer_resistance(Gradient, Gradient, Gradient);
template Gradient contact_resistance(Gradient, Gradient);
template Gradient joint_resistance(Gradient, Gradient, Gradient, Gradient);
template Gradient bond_line(Gradient, Gradient);

}  // namespace libloop::law
