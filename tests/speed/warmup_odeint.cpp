#include "speed/warmup_odeint.hpp"

#include <algorithm>
#include <boost/numeric/odeint.hpp>
#include <utility>

long odeint_rosenbrock4(const OdeintSystem& system, const std::vector<double>& y, double tolerance,
                        int samples, const std::function<void(int second, const double* y)>& tell) {
  namespace ode = boost::numeric::odeint;
  using Vector = boost::numeric::ublas::vector<double>;
  using Matrix = boost::numeric::ublas::matrix<double>;
  constexpr double first_step = 5e-3;  // s, as libloop's
  const auto rates = [&](const Vector& x, Vector& rate, double) { system.rates(&x[0], &rate[0]); };
  const auto jacobian = [&](const Vector& x, Matrix& slopes, double, Vector& by_time) {
    system.jacobian(&x[0], &slopes(0, 0));
    std::fill(by_time.begin(), by_time.end(), 0.0);
  };
  const auto equations = std::make_pair(rates, jacobian);
  using Controlled = ode::rosenbrock4_controller<ode::rosenbrock4<double>>;
  ode::rosenbrock4_dense_output<Controlled> dense{Controlled(tolerance, tolerance)};
  Vector x(y.size());
  std::copy(y.begin(), y.end(), x.begin());
  dense.initialize(x, 0.0, first_step);
  long steps = 0;
  for (int next = 0; next < samples;) {
    const double reached = dense.do_step(equations).second;
    ++steps;
    for (; next < samples && next <= reached; ++next) {
      dense.calc_state(next, x);
      tell(next, &x[0]);
    }
  }
  return steps;
}
