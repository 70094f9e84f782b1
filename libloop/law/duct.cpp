#include "libloop/law/duct.hpp"

#include <cmath>

#include "libloop/law/friction.hpp"
#include "libloop/law/lift.hpp"
#include "libloop/math/dual.hpp"

namespace libloop::law {
namespace {

using std::exp;
using std::pow;

constexpr double pi = 3.14159265358979323846;

// exp(-pi / aspect). Below aspect 0.01 it is under 1e-136: zero to every digit.
template <class T>
T side_decay(T aspect) {
  if (aspect < 0.01) return T(0.0);
  return exp(-pi / aspect);
}

// Sum over odd n of tanh(n pi / (2 aspect)) / n^5. With tanh = 1 - 2 d^n / (1 + d^n) the
// slow part is 31/32 zeta(5), and four terms of the rest are enough for every digit.
template <class T>
T torsion_sum(T aspect) {
  constexpr double sum_of_inverse_fifth_powers = 1.0045237627951396;
  const T d = side_decay(aspect);
  T power = d;
  T sum = sum_of_inverse_fifth_powers;
  for (int n = 1; n <= 7; n += 2) {
    const double n2 = n * n;
    sum -= 2.0 * power / (1.0 + power) / (n2 * n2 * n);
    power *= d * d;
  }
  return sum;
}

// Shah's pressure defect K_infinity through 0.674, 0.931, 1.28, 1.43.
template <class T>
T pressure_defect(T aspect) {
  return 0.674 + aspect * (1.250083333333333 + aspect * (0.34175 - aspect * 0.8358333333333333));
}

// Shah's C' through 2.9e-5, 7.6e-5, 2.1e-4, 2.9e-4.
template <class T>
T development_constant(T aspect) {
  return of_one(aspect, [](const auto& a) {
    return 2.9e-5 * exp(a * (5.331955803589 + a * (-2.459958897914 - a * 0.569411812681)));
  });
}

// y^2.5, finite with its slope at zero.
template <class T>
T five_halves_power(const T& y) {
  const double root = std::sqrt(value_of(y));
  const double three_halves = value_of(y) * root;
  return lift(y, value_of(y) * three_halves, 2.5 * three_halves);
}

template <class T>
T twelfth_power(const T& x) {
  const T cube = x * x * x;
  const T sixth = cube * cube;
  return sixth * sixth;
}

// Shah's formula in y = 1 / x+, multiplied out so that nothing diverges at y = 0.
template <class G, class X>
Promote<G, X> f_re_developing(const X& inverse_x_plus, const G& developed, const G& defect,
                              const G& development) {
  const X& y = inverse_x_plus;
  const Promote<G, X> top =
      developed + 0.25 * defect * y + 3.44 * development * five_halves_power(y);
  return top / (1.0 + development * (y * y));
}

}  // namespace

template <class T>
T f_re_developed(T aspect) {
  constexpr double pi5 = pi * pi * pi * pi * pi;
  return of_one(aspect, [](const auto& a) {
    const auto sides = 1.0 + a;
    return 24.0 / (sides * sides * (1.0 - 192.0 / pi5 * a * torsion_sum(a)));
  });
}

template <class T>
T f_re_apparent(T x_plus, T aspect) {
  return f_re_developing<T, T>(1.0 / x_plus, f_re_developed(aspect), pressure_defect(aspect),
                               development_constant(aspect));
}

template <class G>
DuctFriction<G>::DuctFriction(const G& aspect, const G& length_over_dh, const G& relative_roughness)
    : developed_(f_re_developed(aspect)),
      defect_(pressure_defect(aspect)),
      development_(development_constant(aspect)),
      length_over_dh_(length_over_dh),
      roughness_(relative_roughness) {}

template <class G>
template <class X>
Promote<G, X> DuctFriction<G>::f_re(const X& reynolds) const {
  return along<G>(reynolds, [&](const auto& re) {
    using T = Promote<G, std::decay_t<decltype(re)>>;
    const T laminar =
        f_re_developing<G, T>(T(re / length_over_dh_), developed_, defect_, development_);
    const T turbulent = churchill_turbulent_term(re, roughness_);
    if (turbulent <= 0.0) return laminar;
    constexpr double round_tube = 16.0;  // the laminar value that the turbulent term is over
    const T over = twelfth_power<T>(round_tube / laminar) * turbulent;
    return T(laminar * pow(1.0 + over, 1.0 / 12.0));
  });
}

template <class T>
T duct_f_re(T reynolds, T aspect, T length_over_dh, T relative_roughness) {
  return DuctFriction<T>(aspect, length_over_dh, relative_roughness).f_re(reynolds);
}

template double f_re_developed(double);
template Dual<1> f_re_developed(Dual<1>);
template Gradient f_re_developed(Gradient);
template double f_re_apparent(double, double);
template Dual<1> f_re_apparent(Dual<1>, Dual<1>);
template Gradient f_re_apparent(Gradient, Gradient);
template class DuctFriction<double>;
template class DuctFriction<Gradient>;
template double DuctFriction<double>::f_re(const double&) const;
template Dual<1> DuctFriction<double>::f_re(const Dual<1>&) const;
template Gradient DuctFriction<double>::f_re(const Gradient&) const;
template Gradient DuctFriction<Gradient>::f_re(const Gradient&) const;
template double duct_f_re(double, double, double, double);
template Dual<1> duct_f_re(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Gradient duct_f_re(Gradient, Gradient, Gradient, Gradient);

}  // namespace libloop::law
