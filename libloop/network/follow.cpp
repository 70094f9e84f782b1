// What follows the temperatures of the states at once.
#include <algorithm>
#include <cmath>

#include "libloop/network/held.hpp"
#include "libloop/network/linear.hpp"
#include "libloop/network/plan.hpp"
#include "libloop/network/residuals.hpp"
#include "libloop/network/solve.hpp"
#include "libloop/network/stability.hpp"

namespace libloop::network {
namespace {

// Newton's steps on all that follows, the states held.
class HeldStep {
 public:
  explicit HeldStep(const Circuit& circuit)
      : circuit_(circuit), linear_(circuit, Linear::Part::all) {}

  bool take(const Evaluation& work, std::vector<double>& x) {
    if (!linear_.factor(with_states_held(circuit_, work.slope))) return false;
    right_ = work.residual;
    for (double& r : right_) r = -r;
    std::fill_n(right_.begin() + circuit_.state_row(0), circuit_.states(), 0.0);
    const std::vector<double> step = linear_.solve(right_);
    if (!finite(step)) return false;
    for (int i = 0; i < circuit_.unknowns(); ++i) {
      const bool held = i >= circuit_.state_row(0) && i < circuit_.aux_row(0);
      if (!held) x[at(i)] += step[at(i)];
    }
    return true;
  }

 private:
  const Circuit& circuit_;
  Linear linear_;
  std::vector<double> right_;
};

}  // namespace

// Flows first, which converge from anywhere; then all at once. Where that does not come to
// an end, because temperatures of nodes move flows far, in turns.
Summary follow(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
               Evaluation& work) {
  constexpr int turns = 20, steps = 12;
  HeldStep newton(circuit);
  for (int turn = 0; turn < turns; ++turn) {
    const Summary flows = solve_flows(circuit, options, x, work);
    if (flows.reason == "not_finite") return flows;
    const std::vector<double> before = x;
    for (int i = 0; i <= steps; ++i) {
      circuit.evaluate(x, Slopes::by_unknown, work);
      if (!finite(work.residual) || !finite(work.slope)) break;
      const double worst =
          std::max(flow_residual(circuit, work), definition_residual(circuit, work, x));
      if (worst <= options.tolerance) {
        if (any_falls(circuit, work.slope) && !flows_stable(circuit, x, work)) break;
        circuit.evaluate(x, Slopes::none, work);
        return ended("converged", "flows and definitions balance", turn, circuit, work, options);
      }
      if (!newton.take(work, x)) break;
    }
    // Node temperatures keep what they gained, flows start again.
    if (!finite(x)) x = before;
    std::copy_n(before.begin(), circuit.loops(), x.begin());
  }
  circuit.evaluate(x, Slopes::none, work);
  return ended(finite(work.residual) ? "no_convergence" : "not_finite",
               "flows and what follows them were not found at these temperatures", turns, circuit,
               work, options);
}

}  // namespace libloop::network
