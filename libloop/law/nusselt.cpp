#include "libloop/law/nusselt.hpp"

#include <cmath>

#include "libloop/law/duct.hpp"
#include "libloop/law/lift.hpp"
#include "libloop/math/dual.hpp"

namespace libloop::law {
namespace {

using std::exp;
using std::log;
using std::pow;
using std::sqrt;
using std::tanh;

const double plug_flow = std::pow(1.664, 4.5);  // (1.664 Pr^(1/6))^4.5 over Pr^0.75

// x^p for x > 0, cheaper than the library's, which is right to the last digit.
template <class T>
T power(const T& x, const T& p) {
  return exp(p * log(x));
}

// Re Pr D / L, kept above 1e-9 so that its roots have a slope at zero flow.
template <class T>
T graetz_of(T reynolds, T prandtl, T length_over_dh) {
  return reynolds * prandtl / length_over_dh + 1e-9;
}

// Petukhov's friction factor by Darcy for smooth tubes, the one Gnielinski fitted with.
template <class T>
T petukhov(T reynolds) {
  const T root = 0.790 * log(reynolds) - 1.64;
  return 1.0 / (root * root);
}

// 0 up to `low`, 1 from `high`, and between them a quintic whose ends are flat to second
// order.
template <class T>
T smooth_step(T x, double low, double high) {
  if (x <= low) return T(0.0);
  if (x >= high) return T(1.0);
  const T s = (x - low) / (high - low);
  return s * s * s * (10.0 + s * (6.0 * s - 15.0));
}

}  // namespace

template <class T>
T nusselt_developed_t(T aspect) {
  const T& a = aspect;
  return 7.541 * (1.0 - a * (2.610 - a * (4.970 - a * (5.119 - a * (2.702 - a * 0.548)))));
}

template <class T>
T nusselt_developed_h1(T aspect) {
  const T& a = aspect;
  return 8.235 * (1.0 - a * (2.0421 - a * (3.0853 - a * (2.4765 - a * (1.0578 - a * 0.1861)))));
}

template <class G, class X>
Promote<G, X> muzychka_yovanovich(X graetz, X prandtl, G developed, G f_re) {
  using T = Promote<G, X>;
  const X m = 2.27 + 1.65 * of_one(prandtl, [](const auto& pr) { return pow(pr, 1.0 / 3.0); });
  const X plug = of_one(prandtl, [](const auto& pr) {
    return 0.564 / pow(1.0 + plug_flow * sqrt(pr * sqrt(pr)), 2.0 / 9.0);
  });
  // The thermal entrance of a developed flow (Leveque), and of a flow that has only begun to
  // slow down at the wall, both over the developed value. The floor keeps the logarithm
  // finite at zero flow.
  const T over = f_re / (developed * developed * developed) * graetz;
  const T slow_fifth =
      of_one(over, [](const auto& x) { return pow(0.6135, 5.0) * pow(x, 5.0 / 3.0); });
  const T fast_squared = 4.0 / (developed * developed) * (plug * plug * graetz) + 1e-30;
  const T sum = power<T>(1.0 + slow_fifth, 0.2 * m) + power<T>(fast_squared, 0.5 * m);
  return developed * power<T>(sum, 1.0 / m);
}

template <class T>
T nusselt_developing(T reynolds, T prandtl, T aspect, T length_over_dh) {
  const T graetz = reynolds * prandtl / length_over_dh;
  return muzychka_yovanovich(graetz, prandtl, nusselt_developed_t(aspect), f_re_developed(aspect));
}

template <class T>
T gnielinski(T reynolds, T prandtl, T darcy_f) {
  const T eighth = darcy_f / 8.0;
  const T resistance = 1.0 + 12.7 * sqrt(eighth) * (pow(prandtl, 2.0 / 3.0) - 1.0);
  return eighth * (reynolds - 1000.0) * prandtl / resistance;
}

template <class G>
DuctNusselt<G>::DuctNusselt(const G& aspect, const G& length_over_dh)
    : developed_(nusselt_developed_t(aspect)),
      f_re_(f_re_developed(aspect)),
      length_over_dh_(length_over_dh),
      turbulent_entrance_(1.0 + pow(length_over_dh, -2.0 / 3.0)) {}

template <class G>
template <class X>
Promote<G, X> DuctNusselt<G>::all_regimes(const X& reynolds, const X& prandtl) const {
  constexpr double last_laminar = 2300.0;
  constexpr double first_turbulent = 4000.0;
  return along<G>(reynolds, prandtl, [&](const auto& re, const auto& pr) {
    using T = Promote<G, std::decay_t<decltype(re)>>;
    const T graetz = re * pr / length_over_dh_;
    const T laminar = muzychka_yovanovich<G, T>(graetz, pr, developed_, f_re_);
    if (re <= last_laminar) return laminar;
    const T turbulent = gnielinski<T>(re, pr, petukhov<T>(re)) * turbulent_entrance_;
    const T share = smooth_step<T>(re, last_laminar, first_turbulent);
    return T(laminar + share * (turbulent - laminar));
  });
}

template <class T>
T nusselt_all_regimes(T reynolds, T prandtl, T aspect, T length_over_dh) {
  return DuctNusselt<T>(aspect, length_over_dh).all_regimes(reynolds, prandtl);
}

template <class T>
T hausen(T reynolds, T prandtl, T length_over_bore) {
  const T graetz = graetz_of(reynolds, prandtl, length_over_bore);
  return 3.66 + 0.0668 * graetz / (1.0 + 0.04 * pow(graetz, 2.0 / 3.0));
}

template <class T>
T baehr_stephan(T reynolds, T prandtl, T length_over_bore) {
  const T graetz = graetz_of(reynolds, prandtl, length_over_bore);
  const T root = pow(graetz, -1.0 / 3.0);
  const T thermal =
      3.657 / tanh(2.264 * root + 1.7 * root * root) + 0.0499 * graetz * tanh(1.0 / graetz);
  return thermal / tanh(2.432 * pow(prandtl, 1.0 / 6.0) * sqrt(root));
}

template double nusselt_developed_t(double);
template Dual<1> nusselt_developed_t(Dual<1>);
template Gradient nusselt_developed_t(Gradient);
template double nusselt_developed_h1(double);
template Dual<1> nusselt_developed_h1(Dual<1>);
template Gradient nusselt_developed_h1(Gradient);
template double muzychka_yovanovich(double, double, double, double);
template Dual<1> muzychka_yovanovich(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Gradient muzychka_yovanovich(Gradient, Gradient, Gradient, Gradient);
template double nusselt_developing(double, double, double, double);
template Dual<1> nusselt_developing(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Gradient nusselt_developing(Gradient, Gradient, Gradient, Gradient);
template double gnielinski(double, double, double);
template Dual<1> gnielinski(Dual<1>, Dual<1>, Dual<1>);
template Gradient gnielinski(Gradient, Gradient, Gradient);
template double nusselt_all_regimes(double, double, double, double);
template class DuctNusselt<double>;
template class DuctNusselt<Gradient>;
template double DuctNusselt<double>::all_regimes(const double&, const double&) const;
template Dual<1> DuctNusselt<double>::all_regimes(const Dual<1>&, const Dual<1>&) const;
template Gradient DuctNusselt<double>::all_regimes(const Gradient&, const Gradient&) const;
template Gradient DuctNusselt<Gradient>::all_regimes(const Gradient&, const Gradient&) const;
template Dual<1> nusselt_all_regimes(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Gradient nusselt_all_regimes(Gradient, Gradient, Gradient, Gradient);
template double hausen(double, double, double);
template Dual<1> hausen(Dual<1>, Dual<1>, Dual<1>);
template Gradient hausen(Gradient, Gradient, Gradient);
template double baehr_stephan(double, double, double);
template Dual<1> baehr_stephan(Dual<1>, Dual<1>, Dual<1>);
template Gradient baehr_stephan(Gradient, Gradient, Gradient);

}  // namespace libloop::law
