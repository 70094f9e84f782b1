#include "libloop/law/friction.hpp"

#include <cmath>

#include "libloop/law/lift.hpp"
#include "libloop/math/dual.hpp"

namespace libloop::law {
namespace {

using std::log;
using std::pow;
using std::sqrt;

template <class T>
T eighth(T x) {
  const T x2 = x * x;
  const T x4 = x2 * x2;
  return x4 * x4;
}

template <class T>
T sixteenth(T x) {
  return eighth(x * x);
}

}  // namespace

template <class G, class X>
Promote<G, X> churchill_turbulent_term(X reynolds, G relative_roughness) {
  // Below Re 500 the term is under 1e-23: beside the 1 the two pieces are the same double.
  if (reynolds < 500.0) return Promote<G, X>(0.0);
  return along<G>(reynolds, [&](const auto& re) {
    using T = Promote<G, std::decay_t<decltype(re)>>;
    const T a = sixteenth(T(2.457 * log(pow(7.0 / re, 0.9) + 0.27 * relative_roughness)));
    const T b = sixteenth(T(37530.0 / re));
    const T ratio = eighth(T(re / 8.0)) / (a + b);
    return ratio * sqrt(ratio);
  });
}

template <class G, class X>
Promote<G, X> churchill_f_re(X reynolds, G relative_roughness) {
  return along<G>(reynolds, [&](const auto& re) {
    return 64.0 * pow(1.0 + churchill_turbulent_term(re, relative_roughness), 1.0 / 12.0);
  });
}

template <class T>
T churchill(T reynolds, T relative_roughness) {
  return churchill_f_re(reynolds, relative_roughness) / reynolds;
}

template <class G, class X>
Promote<G, X> two_k_re(X reynolds, G k1, G k_infinity, G bore_m) {
  constexpr double inch = 0.0254;
  return k1 + k_infinity * (1.0 + inch / bore_m) * reynolds;
}

template <class T>
T two_k(T reynolds, T k1, T k_infinity, T bore_m) {
  return two_k_re(reynolds, k1, k_infinity, bore_m) / reynolds;
}

template <class T>
T sudden_expansion(T area_ratio) {
  const T step = 1.0 - area_ratio;
  return step * step;
}

template <class T>
T sudden_contraction(T area_ratio) {
  return 0.5 * (1.0 - area_ratio);
}

template double churchill_f_re(double, double);
template Dual<1> churchill_f_re(Dual<1>, double);
template Dual<1> churchill_f_re(Dual<1>, Dual<1>);
template Gradient churchill_f_re(Gradient, double);
template Gradient churchill_f_re(Gradient, Gradient);
template double churchill(double, double);
template Dual<1> churchill(Dual<1>, Dual<1>);
template Gradient churchill(Gradient, Gradient);
template double churchill_turbulent_term(double, double);
template Dual<1> churchill_turbulent_term(Dual<1>, double);
template Dual<1> churchill_turbulent_term(Dual<1>, Dual<1>);
template Gradient churchill_turbulent_term(Gradient, Gradient);
template double two_k_re(double, double, double, double);
template Dual<1> two_k_re(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Gradient two_k_re(Gradient, double, double, double);
template Gradient two_k_re(Gradient, Gradient, Gradient, Gradient);
template double two_k(double, double, double, double);
template Dual<1> two_k(Dual<1>, Dual<1>, Dual<1>, Dual<1>);
template Gradient two_k(Gradient, Gradient, Gradient, Gradient);
template double sudden_expansion(double);
template Dual<1> sudden_expansion(Dual<1>);
template Gradient sudden_expansion(Gradient);
template double sudden_contraction(double);
template Dual<1> sudden_contraction(Dual<1>);
template Gradient sudden_contraction(Gradient);

}  // namespace libloop::law
