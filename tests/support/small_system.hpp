// Equations in time, written as they stand, for the stepper of math/rosenbrock.hpp.
#pragma once

#include <Eigen/Dense>
#include <algorithm>
#include <boost/numeric/odeint.hpp>
#include <cmath>
#include <functional>
#include <utility>
#include <vector>

#include "libloop/math/rosenbrock.hpp"

namespace libloop::testing {

using math::Vector;
using Matrix = Eigen::MatrixXd;

class SmallSystem {
 public:
  std::function<void(double t, const Vector& x, Vector& f)> rate;
  std::function<void(double t, const Vector& x, Matrix& slope)> slopes;
  std::function<void(double t, const Vector& x, Vector& dfdt)> by_time{};  // none: zero
  Vector ones;                                                             // the mass
  double relative = 1e-6, absolute = 1e-9;

  void evaluate(double t, const Vector& x, Vector& f) {
    f.resize(x.size());
    rate(t, x, f);
  }
  void linearise(double t, const Vector& x, Vector& f, Vector& dfdt) {
    evaluate(t, x, f);
    slope_.setZero(x.size(), x.size());
    slopes(t, x, slope_);
    dfdt.setZero(x.size());
    if (by_time) by_time(t, x, dfdt);
  }
  bool factor(double shift) {
    Matrix all = -slope_;
    all.diagonal() += shift * ones;
    if (!all.allFinite()) return false;
    lu_.compute(all);
    return true;
  }
  void solve(Vector& right) { right = lu_.solve(right).eval(); }
  const Vector& mass() const { return ones; }
  double error(const Vector& before, const Vector& after, const Vector& error) const {
    double worst = 0.0;
    for (Eigen::Index i = 0; i < error.size(); ++i) {
      const double size = std::max(std::abs(before[i]), std::abs(after[i]));
      const double share = std::abs(error[i]) / (absolute + relative * size);
      if (!(share <= worst)) worst = share;
    }
    return worst;
  }

 private:
  Matrix slope_;
  Eigen::PartialPivLU<Matrix> lu_;
};

inline Vector vector_of(std::initializer_list<double> values) {
  Vector v(static_cast<Eigen::Index>(values.size()));
  std::copy(values.begin(), values.end(), v.data());
  return v;
}

// The state of any system at each of `times`, by Odeint's own integrate_times.
template <class System>
std::vector<Vector> at_times(System& system, Vector x, const std::vector<double>& times,
                             double first_step) {
  std::vector<Vector> all;
  math::Controlled control(1e-12);
  math::Dense dense{boost::reference_wrapper<math::Controlled>(control)};
  boost::numeric::odeint::integrate_times(dense, boost::ref(system), x, times.begin(), times.end(),
                                          first_step,
                                          [&](const Vector& now, double) { all.push_back(now); });
  return all;
}

}  // namespace libloop::testing
