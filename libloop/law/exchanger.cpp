#include "libloop/law/exchanger.hpp"

#include <cmath>

#include "libloop/law/lift.hpp"

namespace libloop::law {
namespace {

// Below this |n| the quotients are taken from their series, exact to rounding.
constexpr double small = 0.05;

// n/(e^n - 1), from the Bernoulli series near zero.
double outlet_factor(double n) {
  if (std::abs(n) < small) {
    const double s = n * n;
    return 1.0 - 0.5 * n + s * (1.0 / 12 - s * (1.0 / 720 - s / 30240));
  }
  if (n < 0.0) return n / std::expm1(n);
  return n * std::exp(-n) / -std::expm1(-n);
}

double outlet_slope(double n, double factor) {
  if (std::abs(n) < small) {
    const double s = n * n;
    return -0.5 + n * (1.0 / 6 - s * (1.0 / 180 - s / 5040));
  }
  return factor / n * (1.0 - n - factor);
}

// (1 - e^-n)/n: mean of e^-nx over 0 < x < 1.
template <class T>
T mean_of_decay(const T& n) {
  return 1.0 / mean_to_inlet(n);
}

// (e^-a - e^-b)/(b - a), a and b >= 0.
template <class T>
T divided_decay(const T& a, const T& b) {
  using std::exp;
  return a < b ? exp(-a) * mean_of_decay<T>(b - a) : exp(-b) * mean_of_decay<T>(a - b);
}

// What reaches the back row's outlet of the air heated by the front row, over its value
// where the front stream enters: D of the header.
template <class T>
T air_carried(const T& front, const T& back, bool same_direction) {
  const T gain = mean_to_inlet(back);
  return gain * (same_direction ? divided_decay(front, back) : mean_of_decay<T>(front + back));
}

// K/C_a of a row: 1 when there is no air.
template <class T>
T effectiveness(const T& conductance, const T& air_capacity) {
  return (conductance + tiny) / (air_capacity + tiny);
}

}  // namespace

template <class T>
T row_conductance(T air_capacity, T ua) {
  const double capacity = value_of(air_capacity);
  const double n = value_of(ua) / (capacity + tiny);
  const double decay = std::exp(-n);
  const double share = -std::expm1(-n);
  return lift(air_capacity, ua, capacity * share, share - n * decay, decay);
}

template <class T>
T mean_to_outlet(T n) {
  const double at = value_of(n);
  const double factor = outlet_factor(at);
  return lift(n, factor, outlet_slope(at, factor));
}

template <class T>
T mean_to_inlet(T n) {
  return mean_to_outlet(n) + n;
}

template <class T>
T transfer_units(T conductance, T capacity) {
  return conductance / (capacity + tiny);
}

template <class T>
T bypassed_conductance(T conductance, T capacity, T bypass_share, T bypass_conductance) {
  using std::expm1;
  using std::log1p;
  const T& b = bypass_share;
  const T through = conductance / (1.0 - b);
  const T excess = through - bypass_conductance;
  // Whichever stream cools less sets the limit at zero flow; the two texts are one
  // function, each free of overflow on its side.
  if (excess > 0.0) {
    const T cooled = expm1(-transfer_units(excess, capacity));
    return bypass_conductance - capacity * log1p((1.0 - b) * cooled);
  }
  const T cooled = expm1(transfer_units(excess, capacity));
  return through - capacity * log1p(b * cooled);
}

template <class T>
TwoRows<T> two_rows(T air_capacity, const CoolantRow<T>& front, const CoolantRow<T>& back) {
  const T n = transfer_units(front.conductance, front.capacity);
  return two_rows<T>(air_capacity, front, back, mean_to_inlet(n) * front.mean);
}

template <class T>
TwoRows<T> two_rows(T air_capacity, const CoolantRow<T>& front, const CoolantRow<T>& back,
                    T front_inlet) {
  const T front_share = effectiveness(front.conductance, air_capacity);
  const T back_share = effectiveness(back.conductance, air_capacity);
  const T n1 = transfer_units(front.conductance, front.capacity);
  const T n2 = transfer_units(back.conductance, back.capacity);
  const T air = front_share * front.mean;
  const T over_air = back.mean - air;
  const T carried = air_carried(n1, n2, front.direction == back.direction);

  TwoRows<T> answer;
  answer.front.outlet = front.mean * mean_to_outlet(n1);
  answer.front.heat = front.conductance * front.mean;
  // What the air brings here follows the front stream's exponential from its inlet, in its mean
  // too: whatever enters, coolant that exchanges nothing leaves with its own mean.
  const T entering = front_share * front_inlet;
  answer.back.outlet =
      (back.mean - entering * mean_of_decay(n1)) * mean_to_outlet(n2) + entering * carried;
  answer.back.heat = back.conductance * over_air;
  answer.air_outlet = air + back_share * over_air;
  return answer;
}

template double row_conductance(double, double);
template double mean_to_outlet(double);
template double mean_to_inlet(double);
template double transfer_units(double, double);
template double bypassed_conductance(double, double, double, double);
template TwoRows<double> two_rows(double, const CoolantRow<double>&, const CoolantRow<double>&);
template TwoRows<double> two_rows(double, const CoolantRow<double>&, const CoolantRow<double>&,
                                  double);

template Dual<1> row_conductance(Dual<1>, Dual<1>);
template Dual<1> mean_to_outlet(Dual<1>);
template Dual<1> mean_to_inlet(Dual<1>);
template Dual<1> transfer_units(Dual<1>, Dual<1>);
template Dual<1> bypassed_conductance(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template TwoRows<Dual<1>> two_rows(Dual<1>, const CoolantRow<Dual<1>>&, const CoolantRow<Dual<1>>&);
template TwoRows<Dual<1>> two_rows(Dual<1>, const CoolantRow<Dual<1>>&, const CoolantRow<Dual<1>>&,
                                   Dual<1>);

template Gradient row_conductance(Gradient, Gradient);
template Gradient mean_to_outlet(Gradient);
template Gradient mean_to_inlet(Gradient);
template Gradient transfer_units(Gradient, Gradient);
template Gradient bypassed_conductance(Gradient, Gradient, Gradient, Gradient);
template TwoRows<Gradient> two_rows(Gradient, const CoolantRow<Gradient>&,
                                    const CoolantRow<Gradient>&);
template TwoRows<Gradient> two_rows(Gradient, const CoolantRow<Gradient>&,
                                    const CoolantRow<Gradient>&, Gradient);

}  // namespace libloop::law
