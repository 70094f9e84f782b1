// Stiff equations in time, with algebraic ones among them: M dx/dt = f(x, t), M diagonal of
// ones and zeros.
//
// You need this header to integrate such a system with error control and dense output. The
// method is a linearly implicit (Rosenbrock) one of order 4(3) in six stages, L-stable and
// stiffly accurate, made for algebraic equations of index one too: Hairer & Wanner, Solving
// Ordinary Differential Equations II, 1996, chapters IV.7 and VI.4 (RODAS); the coefficients
// are those that Boost.Odeint carries, but for one sign. One Jacobian and one factorisation a step,
// no iterations.
//
// Written to Boost.Odeint's concepts: `Rosenbrock` is a stepper, `Controlled` a controlled
// stepper, and `dense(...)` gives Odeint's own dense output over both, so that
// odeint::integrate_adaptive, integrate_const and integrate_times take them. A system has
//
//   void evaluate(double t, const Vector& x, Vector& f);
//   // the same with its slopes, which it keeps; and df/dt
//   void linearise(double t, const Vector& x, Vector& f, Vector& dfdt);
//   // M shift - df/dx, factored; false when it is singular
//   bool factor(double shift);
//   // right := (M shift - df/dx)^-1 right
//   void solve(Vector& right);
//   const Vector& mass() const;
//   // size of an error against what is allowed; at most 1 is good; need not be finite
//   double error(const Vector& before, const Vector& after, const Vector& error);
#pragma once

#include <Eigen/Dense>
#include <algorithm>
#include <boost/numeric/odeint/external/eigen/eigen_resize.hpp>
#include <boost/numeric/odeint/stepper/rosenbrock4.hpp>
#include <boost/numeric/odeint/stepper/rosenbrock4_dense_output.hpp>
#include <cmath>

namespace libloop::math {

using Vector = Eigen::VectorXd;

class Rosenbrock {
 public:
  using value_type = double;
  using state_type = Vector;
  using deriv_type = Vector;
  using time_type = double;
  using order_type = unsigned short;
  using resizer_type = boost::numeric::odeint::initially_resizer;
  using wrapped_state_type = boost::numeric::odeint::state_wrapper<state_type>;
  using wrapped_deriv_type = boost::numeric::odeint::state_wrapper<deriv_type>;
  using stepper_category = boost::numeric::odeint::stepper_tag;

  order_type order() const { return 4; }

  // A step from x at t; `error` is its estimated error. `repeated`: the same x and t as in
  // the last call, whose slopes serve again. False when a value was not finite or the
  // slopes were singular; x_out is then worthless.
  template <class System>
  bool do_step(System& system, const Vector& x, double t, Vector& x_out, double dt, Vector& error,
               bool repeated = false) {
    const auto& c = coefficients_;
    // Boost 1.74 has it with the other sign: with that the order is lost where f moves by
    // itself. It is the sum of the fourth row of Gamma.
    const double d4 = -c.d4;
    if (!repeated) system.linearise(t, x, f0_, dfdt_);
    if (!f0_.allFinite() || !dfdt_.allFinite()) return false;
    if (!system.factor(1.0 / (c.gamma * dt))) return false;
    const Vector& mass = system.mass();
    // Every stage: f there, what earlier stages carry over, and how f moves by itself.
    const auto stage = [&](double share, double by_time, const Vector& carried, Vector& g) {
      system.evaluate(t + share * dt, x_out, g);
      if (!g.allFinite()) return false;
      g += mass.cwiseProduct(carried) / dt + dt * by_time * dfdt_;
      system.solve(g);
      return true;
    };
    g1_ = f0_ + dt * c.d1 * dfdt_;
    system.solve(g1_);
    x_out = x + c.a21 * g1_;
    if (!stage(c.c2, c.d2, c.c21 * g1_, g2_)) return false;
    x_out = x + c.a31 * g1_ + c.a32 * g2_;
    if (!stage(c.c3, c.d3, c.c31 * g1_ + c.c32 * g2_, g3_)) return false;
    x_out = x + c.a41 * g1_ + c.a42 * g2_ + c.a43 * g3_;
    if (!stage(c.c4, d4, c.c41 * g1_ + c.c42 * g2_ + c.c43 * g3_, g4_)) return false;
    x_out = x + c.a51 * g1_ + c.a52 * g2_ + c.a53 * g3_ + c.a54 * g4_;
    if (!stage(1.0, 0.0, c.c51 * g1_ + c.c52 * g2_ + c.c53 * g3_ + c.c54 * g4_, g5_)) return false;
    x_out += g5_;
    if (!stage(1.0, 0.0, c.c61 * g1_ + c.c62 * g2_ + c.c63 * g3_ + c.c64 * g4_ + c.c65 * g5_,
               error)) {
      return false;
    }
    x_out += error;
    return x_out.allFinite();
  }

  // x between two ends of the last step: a cubic, x_old (1-s) + s (x_new + (1-s)(p + s q)).
  void prepare_dense_output() {
    const auto& c = coefficients_;
    p_ = c.d21 * g1_ + c.d22 * g2_ + c.d23 * g3_ + c.d24 * g4_ + c.d25 * g5_;
    q_ = c.d31 * g1_ + c.d32 * g2_ + c.d33 * g3_ + c.d34 * g4_ + c.d35 * g5_;
  }
  void calc_state(double t, Vector& x, const Vector& x_old, double t_old, const Vector& x_new,
                  double t_new) const {
    const double s = (t - t_old) / (t_new - t_old), rest = 1.0 - s;
    x = rest * x_old + s * (x_new + rest * (p_ + s * q_));
  }
  const Vector& p() const { return p_; }
  const Vector& q() const { return q_; }

  template <class State>
  void adjust_size(const State&) {}  // vectors take their size as they are written

 private:
  boost::numeric::odeint::default_rosenbrock_coefficients<double> coefficients_;
  Vector f0_, dfdt_, g1_, g2_, g3_, g4_, g5_, p_, q_;
};

// Chooses the step. Where no step down to the least one holds, it throws NoStep, which the
// caller turns into a sentence.
class NoStep {};

class Controlled {
 public:
  using stepper_type = Rosenbrock;
  using value_type = double;
  using state_type = Vector;
  using deriv_type = Vector;
  using time_type = double;
  using stepper_category = boost::numeric::odeint::controlled_stepper_tag;

  explicit Controlled(double least_step = 1e-9) : least_step_(least_step) {}

  template <class System>
  boost::numeric::odeint::controlled_step_result try_step(System system, Vector& x, double& t,
                                                          double& dt) {
    const auto result = try_step(system, x, t, x_new_, dt);
    if (result == boost::numeric::odeint::success) x = x_new_;
    return result;
  }

  template <class System>
  boost::numeric::odeint::controlled_step_result try_step(System system, const Vector& x, double& t,
                                                          Vector& x_out, double& dt) {
    typename boost::numeric::odeint::unwrap_reference<System>::type& s = system;
    // Hairer & Wanner, as Boost.Odeint does it: steps predicted from the last two errors.
    constexpr double safe = 0.9, most_smaller = 5.0, most_larger = 1.0 / 6.0;
    const bool good = stepper_.do_step(s, x, t, x_out, dt, error_, rejected_);
    const double error = good ? s.error(x, x_out, error_) : 1e300;
    double factor = most_smaller;
    if (std::isfinite(error)) {
      factor = std::clamp(std::pow(error, 0.25) / safe, most_larger, most_smaller);
    }
    if (good && error <= 1.0) {
      if (last_step_ > 0.0) {
        const double predicted =
            last_step_ / dt * std::pow(error * error / last_error_, 0.25) / safe;
        factor = std::max(factor, std::clamp(predicted, most_larger, most_smaller));
      }
      if (rejected_) factor = std::max(factor, 1.0);
      last_step_ = dt;
      last_error_ = std::max(0.01, error);
      rejected_ = false;
      t += dt;
      dt /= factor;
      return boost::numeric::odeint::success;
    }
    rejected_ = true;
    ++rejected_steps_;
    dt /= std::max(factor, 1.0 / safe);
    if (dt < least_step_ || t + dt == t) throw NoStep();
    return boost::numeric::odeint::fail;
  }

  Rosenbrock& stepper() { return stepper_; }
  const Rosenbrock& stepper() const { return stepper_; }
  int rejected() const { return rejected_steps_; }

  template <class State>
  void adjust_size(const State&) {}

 private:
  Rosenbrock stepper_;
  Vector x_new_, error_;
  double least_step_ = 0.0, last_step_ = 0.0, last_error_ = 0.0;
  bool rejected_ = false;
  int rejected_steps_ = 0;
};

// Odeint's dense output over a controlled stepper that the caller keeps.
using Dense =
    boost::numeric::odeint::rosenbrock4_dense_output<boost::reference_wrapper<Controlled>>;

}  // namespace libloop::math
