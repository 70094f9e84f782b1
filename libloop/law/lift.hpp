// The chain rule in one step, for laws whose derivative is known by hand.
//
// A law of one or two numbers computes its value and its partial derivatives in
// plain double and lifts them once. That is quicker than carrying the slopes through
// every operation, and it keeps limits (0/0, overflow) out of the slopes as well.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

// f(x), given f and df/dx at the value of x.
inline double lift(double, double f, double) { return f; }
template <int N>
Dual<N> lift(const Dual<N>& x, double f, double f_x) {
  return x.chain(f, f_x);
}

// f(x, y), given f, df/dx and df/dy.
inline double lift(double, double, double f, double, double) { return f; }
template <int N>
Dual<N> lift(const Dual<N>& x, double, double f, double f_x, double) {
  return x.chain(f, f_x);
}
template <int N>
Dual<N> lift(double, const Dual<N>& y, double f, double, double f_y) {
  return y.chain(f, f_y);
}
template <int N>
Dual<N> lift(const Dual<N>& x, const Dual<N>& y, double f, double f_x, double f_y) {
  Dual<N> z(f);
  for (std::size_t i = 0; i < N; ++i) z.slope[i] = f_x * x.slope[i] + f_y * y.slope[i];
  return z;
}

// f of one number, `f` a template over the scalar: its slope is found with one partial
// derivative instead of all of them.
template <class F>
double of_one(double x, F f) {
  return f(x);
}
template <int N, class F>
Dual<N> of_one(const Dual<N>& x, F f) {
  const Dual<1> y = f(Dual<1>::variable(x.value, 0));
  return x.chain(y.value, y.slope[0]);
}

// f of two numbers, in the same way with two.
template <class F>
double of_two(double x, double y, F f) {
  return f(x, y);
}
template <int N, class F>
Dual<N> of_two(const Dual<N>& x, const Dual<N>& y, F f) {
  const Dual<2> z = f(Dual<2>::variable(x.value, 0), Dual<2>::variable(y.value, 1));
  return lift(x, y, z.value, z.slope[0], z.slope[1]);
}

// The same where f holds constants of scalar G: it is taken as it stands when those carry
// slopes too.
template <class G, class X, class F>
Promote<G, X> along(const X& x, F f) {
  if constexpr (std::is_same_v<G, double>) {
    return of_one(x, f);
  } else {
    return f(x);
  }
}
template <class G, class X, class F>
Promote<G, X> along(const X& x, const X& y, F f) {
  if constexpr (std::is_same_v<G, double>) {
    return of_two(x, y, f);
  } else {
    return f(x, y);
  }
}

// Keeps quotients by a flow or a speed finite when it is exactly zero. It vanishes by
// rounding beside any value a machine or a heat exchanger can have.
inline constexpr double tiny = 1e-30;

}  // namespace libloop::law
