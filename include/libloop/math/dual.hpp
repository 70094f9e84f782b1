// A number that carries its derivatives.
//
// You need this header when you write a law (its text must serve `double` and
// `Dual` alike) or when you want exact derivatives of one. You do not need it to
// predict a cooler.
//
// Dual<N> holds a value and N partial derivatives. Every operation applies the
// chain rule at once: there are no expression templates, so `auto` is safe and a
// compiler error names a line of yours. `Gradient` is the one width the library is
// instantiated for.
#pragma once

#include <array>
#include <cmath>
#include <type_traits>

namespace libloop {

template <int N>
struct Dual {
  std::array<double, N> slope{};  // first: so that slopes are stored and copied in one width
  double value = 0.0;

  constexpr Dual() = default;
  constexpr Dual(double constant) : value(constant) {}  // NOLINT: a constant has no slope

  // The independent variable number `index`.
  static constexpr Dual variable(double at, int index) {
    Dual x(at);
    x.slope[static_cast<std::size_t>(index)] = 1.0;
    return x;
  }

  // f(x) given f and f' at x.value: the chain rule.
  constexpr Dual chain(double f, double derivative) const {
    Dual y(f);
    for (std::size_t i = 0; i < N; ++i) y.slope[i] = derivative * slope[i];
    return y;
  }

  constexpr Dual& operator+=(const Dual& b) { return *this = *this + b; }
  constexpr Dual& operator-=(const Dual& b) { return *this = *this - b; }
  constexpr Dual& operator*=(const Dual& b) { return *this = *this * b; }
  constexpr Dual& operator/=(const Dual& b) { return *this = *this / b; }

  friend constexpr Dual operator-(const Dual& a) { return a.chain(-a.value, -1.0); }

  friend constexpr Dual operator+(const Dual& a, const Dual& b) {
    Dual y(a.value + b.value);
    for (std::size_t i = 0; i < N; ++i) y.slope[i] = a.slope[i] + b.slope[i];
    return y;
  }
  friend constexpr Dual operator-(const Dual& a, const Dual& b) {
    Dual y(a.value - b.value);
    for (std::size_t i = 0; i < N; ++i) y.slope[i] = a.slope[i] - b.slope[i];
    return y;
  }
  friend constexpr Dual operator*(const Dual& a, const Dual& b) {
    Dual y(a.value * b.value);
    for (std::size_t i = 0; i < N; ++i) y.slope[i] = a.slope[i] * b.value + a.value * b.slope[i];
    return y;
  }
  friend constexpr Dual operator/(const Dual& a, const Dual& b) {
    const double inverse = 1.0 / b.value;
    Dual y(a.value * inverse);
    for (std::size_t i = 0; i < N; ++i) y.slope[i] = (a.slope[i] - y.value * b.slope[i]) * inverse;
    return y;
  }

  friend constexpr Dual operator+(const Dual& a, double b) { return a.chain(a.value + b, 1.0); }
  friend constexpr Dual operator+(double a, const Dual& b) { return b.chain(a + b.value, 1.0); }
  friend constexpr Dual operator-(const Dual& a, double b) { return a.chain(a.value - b, 1.0); }
  friend constexpr Dual operator-(double a, const Dual& b) { return b.chain(a - b.value, -1.0); }
  friend constexpr Dual operator*(const Dual& a, double b) { return a.chain(a.value * b, b); }
  friend constexpr Dual operator*(double a, const Dual& b) { return b.chain(a * b.value, a); }
  friend constexpr Dual operator/(const Dual& a, double b) { return a.chain(a.value / b, 1.0 / b); }
  friend constexpr Dual operator/(double a, const Dual& b) {
    const double y = a / b.value;
    return b.chain(y, -y / b.value);
  }

  // Comparisons look at the value alone: a law may branch only where both pieces
  // meet in value and slope.
  friend constexpr bool operator<(const Dual& a, const Dual& b) { return a.value < b.value; }
  friend constexpr bool operator>(const Dual& a, const Dual& b) { return a.value > b.value; }
  friend constexpr bool operator<=(const Dual& a, const Dual& b) { return a.value <= b.value; }
  friend constexpr bool operator>=(const Dual& a, const Dual& b) { return a.value >= b.value; }

  friend Dual sqrt(const Dual& x) {
    const double y = std::sqrt(x.value);
    return x.chain(y, 0.5 / y);
  }
  friend Dual exp(const Dual& x) {
    const double y = std::exp(x.value);
    return x.chain(y, y);
  }
  friend Dual expm1(const Dual& x) { return x.chain(std::expm1(x.value), std::exp(x.value)); }
  friend Dual log(const Dual& x) { return x.chain(std::log(x.value), 1.0 / x.value); }
  friend Dual log1p(const Dual& x) { return x.chain(std::log1p(x.value), 1.0 / (1.0 + x.value)); }
  friend Dual log10(const Dual& x) {
    return x.chain(std::log10(x.value), 1.0 / (x.value * 2.302585092994046));
  }
  friend Dual tanh(const Dual& x) {
    const double y = std::tanh(x.value);
    return x.chain(y, 1.0 - y * y);
  }
  friend Dual sin(const Dual& x) { return x.chain(std::sin(x.value), std::cos(x.value)); }
  friend Dual cos(const Dual& x) { return x.chain(std::cos(x.value), -std::sin(x.value)); }
  friend Dual atan(const Dual& x) {
    return x.chain(std::atan(x.value), 1.0 / (1.0 + x.value * x.value));
  }
  friend Dual erf(const Dual& x) {
    return x.chain(std::erf(x.value), 1.1283791670955126 * std::exp(-x.value * x.value));
  }
  friend Dual erfc(const Dual& x) {
    return x.chain(std::erfc(x.value), -1.1283791670955126 * std::exp(-x.value * x.value));
  }
  friend Dual pow(const Dual& x, double power) {
    const double y = std::pow(x.value, power - 1.0);
    return x.chain(y * x.value, power * y);
  }
  friend Dual pow(const Dual& x, const Dual& power) { return exp(power * log(x)); }
  friend Dual pow(double x, const Dual& power) { return exp(power * std::log(x)); }
};

// The width the library is compiled for.
using Gradient = Dual<8>;

inline double value_of(double x) { return x; }
template <int N>
double value_of(const Dual<N>& x) {
  return x.value;
}

// The scalar in which an expression of A and B is computed.
template <class A, class B>
using Promote = std::conditional_t<std::is_same_v<A, double>, B, A>;

}  // namespace libloop
