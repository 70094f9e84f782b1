// The stepper against exact solutions, published ones and Boost.Odeint's own.
#include "libloop/math/rosenbrock.hpp"

#include <doctest/doctest.h>

#include <limits>

#include "support/published.hpp"
#include "support/small_system.hpp"

using namespace libloop::testing;
using libloop::math::Controlled;
using libloop::math::Dense;
using libloop::math::NoStep;
using libloop::math::Rosenbrock;
namespace odeint = boost::numeric::odeint;

namespace {

// ---- systems and what solves them

struct Known {
  SmallSystem system;
  std::function<Vector(double)> exact;
};

Known decay() {
  Known k;
  k.system.rate = [](double, const Vector& x, Vector& f) { f[0] = -2.0 * x[0]; };
  k.system.slopes = [](double, const Vector&, Matrix& s) { s(0, 0) = -2.0; };
  k.system.ones = vector_of({1.0});
  k.exact = [](double t) { return vector_of({std::exp(-2.0 * t)}); };
  return k;
}

// Swings while it dies away.
Known swing() {
  Known k;
  k.system.rate = [](double, const Vector& x, Vector& f) {
    f[0] = -x[0] + 3.0 * x[1];
    f[1] = -3.0 * x[0] - x[1];
  };
  k.system.slopes = [](double, const Vector&, Matrix& s) { s << -1.0, 3.0, -3.0, -1.0; };
  k.system.ones = vector_of({1.0, 1.0});
  k.exact = [](double t) {
    return vector_of({std::exp(-t) * std::cos(3.0 * t), -std::exp(-t) * std::sin(3.0 * t)});
  };
  return k;
}

// x' = -y, 0 = y - x^2.
Known algebraic() {
  Known k;
  k.system.rate = [](double, const Vector& x, Vector& f) {
    f[0] = -x[1];
    f[1] = x[0] * x[0] - x[1];
  };
  k.system.slopes = [](double, const Vector& x, Matrix& s) { s << 0.0, -1.0, 2.0 * x[0], -1.0; };
  k.system.ones = vector_of({1.0, 0.0});
  k.exact = [](double t) {
    const double x = 1.0 / (1.0 + t);
    return vector_of({x, x * x});
  };
  return k;
}

// Follows a cosine, and an algebraic one that moves by itself too: x' = -5 (x - cos t) - sin t,
// 0 = x sin t - y.
Known driven() {
  Known k;
  k.system.rate = [](double t, const Vector& x, Vector& f) {
    f[0] = -5.0 * (x[0] - std::cos(t)) - std::sin(t);
    f[1] = x[0] * std::sin(t) - x[1];
  };
  k.system.slopes = [](double t, const Vector&, Matrix& s) { s << -5.0, 0.0, std::sin(t), -1.0; };
  k.system.by_time = [](double t, const Vector& x, Vector& rate) {
    rate[0] = -5.0 * std::sin(t) - std::cos(t);
    rate[1] = x[0] * std::cos(t);
  };
  k.system.ones = vector_of({1.0, 0.0});
  k.exact = [](double t) { return vector_of({std::cos(t), std::cos(t) * std::sin(t)}); };
  return k;
}

// ---- steps of equal size

struct Errors {
  double end = 0.0, between = 0.0;
};

Errors errors(Known k, int steps) {
  constexpr double span = 1.0;
  Rosenbrock stepper;
  Vector x = k.exact(0.0), next, error, between;
  const double dt = span / steps;
  Errors e;
  for (int i = 0; i < steps; ++i) {
    const double t = i * dt;
    if (!stepper.do_step(k.system, x, t, next, dt, error)) return {1e300, 1e300};
    stepper.prepare_dense_output();
    for (const double share : {0.2, 0.5, 0.8}) {
      stepper.calc_state(t + share * dt, between, x, t, next, t + dt);
      e.between =
          std::max(e.between, (between - k.exact(t + share * dt)).lpNorm<Eigen::Infinity>());
    }
    x = next;
  }
  e.end = (x - k.exact(span)).lpNorm<Eigen::Infinity>();
  return e;
}

// ---- stiff problems of the literature

// Chemical kinetics, two species, the third their complement; as rates or with the sum as an
// algebraic equation.
SmallSystem robertson(bool with_sum) {
  SmallSystem s;
  s.rate = [with_sum](double, const Vector& y, Vector& f) {
    f[0] = -0.04 * y[0] + 1e4 * y[1] * y[2];
    const double last = 3e7 * y[1] * y[1];
    f[1] = -f[0] - last;
    f[2] = with_sum ? y[0] + y[1] + y[2] - 1.0 : last;
  };
  s.slopes = [with_sum](double, const Vector& y, Matrix& m) {
    m.row(0) << -0.04, 1e4 * y[2], 1e4 * y[1];
    m.row(2) << 0.0, 6e7 * y[1], 0.0;
    m.row(1) = -m.row(0) - m.row(2);
    if (with_sum) m.row(2).setOnes();
  };
  s.ones = vector_of({1.0, 1.0, with_sum ? 0.0 : 1.0});
  s.relative = 1e-9;
  s.absolute = 1e-14;
  return s;
}

constexpr double stiffness = 1e6;

SmallSystem van_der_pol() {
  SmallSystem s;
  s.rate = [](double, const Vector& y, Vector& f) {
    f[0] = y[1];
    f[1] = stiffness * ((1.0 - y[0] * y[0]) * y[1] - y[0]);
  };
  s.slopes = [](double, const Vector& y, Matrix& m) {
    m << 0.0, 1.0, -stiffness * (2.0 * y[0] * y[1] + 1.0), stiffness * (1.0 - y[0] * y[0]);
  };
  s.ones = vector_of({1.0, 1.0});
  s.relative = s.absolute = 1e-9;
  return s;
}

}  // namespace

TEST_CASE("the stepper's error falls with the fourth power of the step, algebraic ones too") {
  for (const Known& k : {decay(), swing(), algebraic(), driven()}) {
    const Errors coarse = errors(k, 20), fine = errors(k, 40);
    CAPTURE(coarse.end);
    CAPTURE(fine.end);
    CHECK(fine.end > 1e-13);
    CHECK(coarse.end / fine.end > 13.5);
    CHECK(coarse.end / fine.end < 19.0);
    // Within a step it is a cubic.
    CAPTURE(coarse.between);
    CAPTURE(fine.between);
    CHECK(coarse.between / fine.between > 7.5);
    CHECK(fine.between < 1e-5);
  }
}

TEST_CASE("what moves by itself counts: without its rate the order is lost") {
  Known k = driven();
  k.system.by_time = nullptr;
  CHECK(errors(k, 40).end > 100.0 * errors(driven(), 40).end);
}

// Of a system that does not move by itself: of one that does, Odeint's has d4 of the wrong sign
// (gamma_4 of RODAS, a sum of the others, is -0.0362) and falls to order one.
TEST_CASE("one step is that of Boost.Odeint's rosenbrock4") {
  SmallSystem s;
  constexpr double mu = 50.0;
  s.rate = [](double, const Vector& x, Vector& f) {
    f[0] = x[1];
    f[1] = mu * (1.0 - x[0] * x[0]) * x[1] - x[0];
  };
  s.slopes = [](double, const Vector& x, Matrix& m) {
    m << 0.0, 1.0, -2.0 * mu * x[0] * x[1] - 1.0, mu * (1.0 - x[0] * x[0]);
  };
  s.ones = vector_of({1.0, 1.0});
  Rosenbrock stepper;
  const Vector x = vector_of({1.5, -0.6});
  Vector next, error, between;
  REQUIRE(stepper.do_step(s, x, 0.3, next, 0.05, error));
  stepper.prepare_dense_output();
  stepper.calc_state(0.32, between, x, 0.3, next, 0.35);
  const char* source = "Boost.Odeint 1.74, rosenbrock4<double>, computed with it";
  published("Rosenbrock step, value", source, 1.4900814572311543, next[0], 1e-13);
  published("Rosenbrock step, rate", source, -0.059380512427609979, next[1], 1e-13);
  published("Rosenbrock step, its error", source, -0.012507978527104564, error[1], 1e-10);
  published("Rosenbrock step, within", source, -0.18018474594681116, between[1], 1e-13);
}

TEST_CASE("stiff problems of the literature, by Odeint's integrate_times over ours") {
  const char* kinetics =
      "Robertson 1966; reference solution of Mazzia & Magherini, Test Set for IVP Solvers, 2008, "
      "from memory; Boost.Odeint's rosenbrock4 at 1e-12 agrees";
  for (const bool with_sum : {false, true}) {
    SmallSystem s = robertson(with_sum);
    const Vector y = at_times(s, vector_of({1.0, 0.0, 0.0}), {0.0, 40.0}, 1e-6).back();
    published("Robertson's kinetics at 40, y1", kinetics, 0.7158270687193941, y[0], 1e-7);
    published("Robertson's kinetics at 40, y2", kinetics, 9.185534764557338e-6, y[1], 1e-7);
    published("Robertson's kinetics at 40, y3", kinetics, 0.2841637457458413, y[2], 1e-7);
  }
  const char* oscillator =
      "Hairer & Wanner II, 1996, IV.8, Van der Pol, eps 1e-6; reference solution of Mazzia & "
      "Magherini, 2008, from memory; Boost.Odeint's rosenbrock4 at 1e-12 agrees";
  SmallSystem s = van_der_pol();
  const std::vector<Vector> y = at_times(s, vector_of({2.0, 0.0}), {0.0, 1.0, 2.0}, 1e-7);
  published("Van der Pol at 1, y", oscillator, -1.863646254808130, y[1][0], 1e-7);
  published("Van der Pol at 1, y'", oscillator, 0.7535430865435460, y[1][1], 1e-7);
  published("Van der Pol at 2, y", oscillator, 1.706167732170483, y[2][0], 1e-7);
  published("Van der Pol at 2, y'", oscillator, -0.8928097010247975, y[2][1], 1e-7);
}

TEST_CASE("Odeint's own functions take stepper, controlled stepper and dense output") {
  Known k = algebraic();
  k.system.relative = k.system.absolute = 1e-9;
  const auto good = [&](const Vector& x, double t) {
    return (x - k.exact(t)).lpNorm<Eigen::Infinity>() < 2e-8;
  };
  Controlled control;
  Dense dense{boost::reference_wrapper<Controlled>(control)};
  Vector x = k.exact(0.0);
  int seen = 0;
  const auto look = [&](const Vector& now, double t) {
    ++seen;
    CHECK(good(now, t));
  };
  odeint::integrate_const(dense, boost::ref(k.system), x, 0.0, 3.0, 0.25, look);
  CHECK(seen == 13);
  x = k.exact(0.0);
  seen = 0;
  Controlled alone;
  const std::size_t steps =
      odeint::integrate_adaptive(alone, boost::ref(k.system), x, 0.0, 3.0, 0.01, look);
  CHECK(good(x, 3.0));
  CHECK(seen == static_cast<int>(steps) + 1);
}

TEST_CASE("no step holds where rates are not finite or slopes are singular: it says so") {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  for (const double infinite : {nan, 1e308 * 10.0}) {
    // Grows until it meets the edge of what is defined; or starts beyond it.
    SmallSystem s;
    s.rate = [infinite](double, const Vector& x, Vector& f) { f[0] = x[0] < 2.0 ? 1.0 : infinite; };
    s.slopes = [](double, const Vector&, Matrix& m) { m(0, 0) = 0.0; };
    s.ones = vector_of({1.0});
    for (const double start : {1.0, 3.0}) {
      double reached = start - 1.0;
      Controlled control;
      Vector x = vector_of({start});
      CHECK_THROWS_AS(
          odeint::integrate_adaptive(control, boost::ref(s), x, 0.0, 10.0, 0.01,
                                     [&](const Vector&, double t) { reached = start - 1.0 + t; }),
          NoStep);
      if (start < 2.0) CHECK(reached == doctest::Approx(1.0).epsilon(1e-6));
      CHECK(control.rejected() < 1000);
    }
  }
  SmallSystem s = decay().system;
  s.slopes = [](double, const Vector&, Matrix& m) { m(0, 0) = nan; };
  Controlled control;
  Vector x = vector_of({1.0});
  CHECK_THROWS_AS(odeint::integrate_adaptive(control, boost::ref(s), x, 0.0, 1.0, 0.1), NoStep);
}
