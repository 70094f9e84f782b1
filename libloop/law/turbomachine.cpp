#include "libloop/law/turbomachine.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <span>

#include "libloop/law/lift.hpp"

namespace libloop::law {
namespace {

constexpr double dip_place = 0.42;
constexpr double dip_width = 0.09;

// The dip and its slope, less the straight line through its values at x = 0 and 1: so
// shut-off and free flow stay where the data sheet puts them.
struct Local {
  double value;
  double slope;
};
Local bell(double x) {
  const double u = (x - dip_place) / dip_width;
  const double value = std::exp(-u * u);
  return {value, -2.0 * u / dip_width * value};
}
Local dip_at(double x) {
  static const double start = bell(0.0).value;
  static const double end = bell(1.0).value;
  const Local here = bell(x);
  return {here.value - start - (end - start) * x, here.slope - (end - start)};
}

// -g'(0) and -g'(1).
template <class G>
struct Fall {
  G at_shut_off;
  G at_free_flow;
};
template <class G>
Fall<G> fall(const Characteristic<G>& curve) {
  switch (curve.kind) {
    case CurveKind::table:
      return {-curve.table->slope(0.0), -curve.table->slope(1.0)};
    case CurveKind::pump:
      return {curve.shape, 2.0 - curve.shape};
    case CurveKind::fan:
      break;
  }
  static const double dip_start = dip_at(0.0).slope;
  static const double dip_end = dip_at(1.0).slope;
  return {curve.shape + dip_start * curve.dip, 4.0 - 3.0 * curve.shape + dip_end * curve.dip};
}

// s^(e-2): finite with finite slopes at s = 0.
template <class G>
G speed_excess(const G& speed, const G& exponent) {
  using std::exp;
  using std::log;
  return exp((exponent - 2.0) * log(speed + tiny));
}

}  // namespace

template <class G, class X>
Promote<G, X> characteristic(const Characteristic<G>& curve, X x) {
  const double at = value_of(x);
  switch (curve.kind) {
    case CurveKind::table:
      return curve.table->at(x);
    case CurveKind::pump: {
      const X square = lift(x, at * at, 2.0 * at);
      return 1.0 - square - curve.shape * (x - square);
    }
    case CurveKind::fan:
      break;
  }
  const double cube = at * at * at;
  const X fourth = lift(x, cube * at, 4.0 * cube);
  const Promote<G, X> smooth = 1.0 - fourth - curve.shape * (x - fourth);
  if constexpr (std::is_same_v<G, double>) {
    if (curve.dip == 0.0) return smooth;  // most fans have no dip: save the exponential
  }
  const Local dip = dip_at(at);
  return smooth - curve.dip * lift(x, dip.value, dip.slope);
}

template <class G, class X>
Promote<G, X> machine_rise(const Characteristic<G>& curve, X relative_flow, G relative_speed) {
  using R = Promote<G, X>;
  const X& y = relative_flow;
  const G& s = relative_speed;
  const G excess = speed_excess(s, curve.exponent);
  const G shut_off = s * s * excess;
  if (y > 0.0 && value_of(y) < value_of(s)) {
    const R x = y / (s + tiny);
    return shut_off * characteristic<G, R>(curve, x);
  }
  const Fall<G> slope = fall(curve);
  if (y <= 0.0) {
    const R against = curve.resistance * (y * y);
    if (slope.at_shut_off >= 0.0) return shut_off - slope.at_shut_off * s * excess * y + against;
    const R fading = s / (s + slope.at_shut_off * y + tiny);
    return shut_off * fading + against;
  }
  const R beyond = y - s;
  return -(slope.at_free_flow * s * excess + curve.resistance * beyond) * beyond;
}

bool rising(const Characteristic<double>& curve) {
  if (curve.kind == CurveKind::table) {
    // Between two points a table never turns.
    const std::span<const double> g = curve.table->y();
    return std::adjacent_find(g.begin(), g.end(), std::less<>()) != g.end();
  }
  // g' runs straight from -b to b - 2.
  if (curve.kind == CurveKind::pump) return curve.shape < 0.0 || curve.shape > 2.0;
  // Dips this shallow are known to turn no fan (just inside the bound that the search finds).
  if (curve.shape >= 0.5 && curve.shape <= 1.0 && curve.dip <= 0.044 + 0.06 * curve.shape) {
    return false;
  }
  constexpr int steps = 500;  // a dip is some 100 of them wide
  for (int i = 0; i <= steps; ++i) {
    const Dual<1> x = Dual<1>::variable(static_cast<double>(i) / steps, 0);
    if (characteristic(curve, x).slope[0] > 0.0) return true;
  }
  return false;
}

template <class T>
Affinity<T> affinity(T speed_ratio, T diameter_ratio, T density_ratio) {
  const T tip = speed_ratio * diameter_ratio;
  const T flow = tip * diameter_ratio * diameter_ratio;
  const T pressure = density_ratio * tip * tip;
  const T power = flow * pressure;
  return {flow, pressure, power};
}

template <class T>
T tip_speed(T diameter, T speed) {
  return 3.141592653589793 * diameter * speed;
}

template double characteristic(const Characteristic<double>&, double);
template Dual<1> characteristic(const Characteristic<double>&, Dual<1>);
template Gradient characteristic(const Characteristic<double>&, Gradient);
template Gradient characteristic(const Characteristic<Gradient>&, double);
template Gradient characteristic(const Characteristic<Gradient>&, Gradient);
template double machine_rise(const Characteristic<double>&, double, double);
template Dual<1> machine_rise(const Characteristic<double>&, Dual<1>, double);
template Gradient machine_rise(const Characteristic<double>&, Gradient, double);
template Gradient machine_rise(const Characteristic<Gradient>&, double, Gradient);
template Gradient machine_rise(const Characteristic<Gradient>&, Gradient, Gradient);
template Affinity<double> affinity(double, double, double);
template Affinity<Dual<1>> affinity(Dual<1>, Dual<1>, Dual<1>);
template Affinity<Gradient> affinity(Gradient, Gradient, Gradient);
template double tip_speed(double, double);
template Dual<1> tip_speed(Dual<1>, Dual<1>);
template Gradient tip_speed(Gradient, Gradient);

}  // namespace libloop::law
