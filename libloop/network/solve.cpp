#include "libloop/network/solve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "libloop/network/alternate.hpp"
#include "libloop/network/linear.hpp"
#include "libloop/network/residuals.hpp"
#include "libloop/network/stability.hpp"

namespace libloop::network {
namespace {

constexpr double least_step = 1e-3;    // kg/s: a flow may always move by this much
constexpr double largest_rise = 80.0;  // K: the largest step of a temperature
constexpr double specific_heat_step = 500.0;

// Newton's step, no unknown moving further than the physics makes plausible at once.
void take_step(const Circuit& circuit, const std::vector<double>& step, std::vector<double>& x) {
  const int auxiliaries = circuit.aux_row(0), nodes = circuit.aux_row(circuit.auxiliaries());
  for (int i = 0; i < circuit.unknowns(); ++i) {
    double& value = x[at(i)];
    if (i < circuit.loops()) {
      // A flow may grow fourfold or shrink to a fifth; only a small one changes its sign.
      const double towards_zero = 0.8 * std::abs(value) + least_step;
      const double away = 3.0 * std::abs(value) + least_step;
      value += value >= 0.0 ? std::clamp(step[at(i)], -towards_zero, away)
                            : std::clamp(step[at(i)], -away, towards_zero);
    } else {
      const bool is_aux = i >= auxiliaries && i < nodes;
      const double most = is_aux ? std::max(std::abs(value), specific_heat_step) : largest_rise;
      value += std::clamp(step[at(i)], -most, most);
    }
  }
}

// The first balance that is not finite, by name.
std::string culprit(const Circuit& circuit, const Evaluation& work) {
  for (int i = 0; i < circuit.unknowns(); ++i) {
    if (!std::isfinite(work.residual[at(i)])) return circuit.name(i);
  }
  return "a flow";
}

// Whether small disturbances of the flows die away. The slopes at hand may be those of the
// last step but one: they tell where no drop falls, and only there.
bool settles(const Circuit& circuit, std::span<const double> x, Evaluation& work) {
  return !any_falls(circuit, work.slope) || flows_stable(circuit, x, work);
}

Summary unstable(Summary summary) {
  summary.usable = false;
  summary.reason = "unstable";
  summary.why = "the flows balance, but the least disturbance drives them away";
  return summary;
}

// Newton's steps on everything at once, from x.
Summary attempt(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
                Evaluation& work) {
  // Close to the end the last Jacobian serves on: residuals alone are far cheaper.
  constexpr double close = 2e-3;
  // One cheap step more where the tolerance is just met: answers then differ by less.
  constexpr double just_met = 1e-2;
  constexpr int patience = 25;
  bool polished = false;
  Linear linear(circuit, Linear::Part::all);
  double last = std::numeric_limits<double>::infinity();
  std::vector<double> right;
  for (int i = 0; i <= options.iterations; ++i) {
    const bool keep = last < close;
    circuit.evaluate(x, keep ? Slopes::none : Slopes::by_unknown, work);
    if (!finite(work.residual) || (!keep && !finite(work.slope))) {
      return ended("not_finite", "the balance of " + culprit(circuit, work) + " is not finite", i,
                   circuit, work, options);
    }
    const double worst = worst_residual(circuit, work, options.load, x);
    const bool met = worst <= options.tolerance;
    const bool well_met = worst <= just_met * options.tolerance;
    if (met && (well_met || polished || !keep || i == options.iterations)) {
      if (settles(circuit, x, work)) {
        return ended("converged", "flows and heat balance", i, circuit, work, options);
      }
      return unstable(ended("converged", "", i, circuit, work, options));
    }
    // Steps that run to and fro come to nothing: another way is quicker.
    if (i >= patience && worst > close) break;
    polished = met;
    if (!keep) linear.factor(work.slope);
    right = work.residual;
    for (double& r : right) r = -r;
    const std::vector<double> step = linear.solve(right);
    if (!finite(step)) {
      return ended("singular", "the balances do not determine the temperatures", i, circuit, work,
                   options);
    }
    take_step(circuit, step, x);
    // A kept Jacobian that gains less than tenfold is made anew.
    last = keep && worst > 0.1 * last ? std::numeric_limits<double>::infinity() : worst;
  }
  return ended("no_convergence", "the balances were not met within the allowed iterations",
               options.iterations, circuit, work, options);
}

}  // namespace

Summary solve(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
              Evaluation& work) {
  constexpr double near = 1e-4;
  const std::vector<double> start = x;
  Summary summary = attempt(circuit, options, x, work);
  if (summary.usable) return summary;
  // In turns, until Newton's steps find the rest, or to the end.
  x = start;
  alternate(circuit, options, near, x, work);
  const std::vector<double> close = x;
  summary = attempt(circuit, options, x, work);
  if (summary.usable) return summary;
  x = close;
  summary = alternate(circuit, options, options.tolerance, x, work);
  if (summary.usable && !settles(circuit, x, work)) return unstable(summary);
  return summary;
}

}  // namespace libloop::network
