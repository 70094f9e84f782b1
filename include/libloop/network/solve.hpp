// Solving a circuit: flows at given temperatures, and the operating point.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "libloop/network/circuit.hpp"

namespace libloop::network {

// How a solve ended: usable or not, why, and how far it came.
struct Summary {
  bool usable = false;
  // One word: converged, no_convergence, not_finite, singular, unstable.
  std::string reason;
  std::string why;             // one sentence
  int iterations = 0;          // Newton's steps
  int evaluations = 0;         // of the line search, when flows are solved alone
  double flow_residual = 0.0;  // largest loop residual over the drops around that loop
  double heat_residual = 0.0;  // largest state residual over max(load, 1 W)
};

struct SolveOptions {
  double load = 1.0;         // W, the scale of heat flows
  double tolerance = 1e-10;  // on flow_residual and heat_residual
  int iterations = 60;
};

// Brings the flows of a first guess near, by their own imbalance: pressure drops rise
// about as the power 1.2 of flow. Nodes take the temperature of what reaches them. One
// cheap evaluation here saves a Jacobian later.
void nudge_flows(const Circuit& circuit, std::vector<double>& x, Evaluation& work);

// Flows at the temperatures of x. Networks minimise a content, the integral of the drops
// over the flows. Newton's step is shortened until the content's slope along it no longer
// says "too far". Where every drop rises with flow the content is convex, and this
// converges from any start to the only point there is. A machine whose pressure rises
// with flow in part (a stall dip, a drooping pump) may make several; then the point is a
// minimum of the content: a stable one.
Summary solve_flows(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
                    Evaluation& work);

// The flows that come about when all machines are switched on at rest: from zero, along
// the motion of fluid of equal inertance in every branch. Where only one stable point
// exists it is that of solve_flows, at several times the cost.
Summary solve_flows_from_rest(const Circuit& circuit, const SolveOptions& options,
                              std::vector<double>& x, Evaluation& work);

// How strongly branches whose drop falls with flow drive themselves on, against all that
// resists: below 1 every small disturbance of the flows dies away. 0 where no drop falls.
// `work` keeps the values and slopes at x.
double falling_gain(const Circuit& circuit, std::span<const double> x, Evaluation& work);
bool flows_stable(const Circuit& circuit, std::span<const double> x, Evaluation& work);

// The operating point: Newton on flows, temperatures and auxiliaries at once, from x. On
// return `work` holds the values at x. A point whose flows are unstable is not usable.
Summary solve(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
              Evaluation& work);

// Flows, auxiliaries and nodes that go with the temperatures of the states, which stay: where
// a warm-up begins, and where it goes on after a step of a speed. Flows are looked for from
// those of x.
Summary follow(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
               Evaluation& work);

// The warm-up's right-hand side linearised at x, with flows, auxiliaries and nodes
// following at once: dT/dt = A (T - T0). Row-major, states x states. `extra` is added to
// the diagonal of the heat slopes (W/K by state; may be empty): leakage.
std::vector<double> linearise(const Circuit& circuit, std::span<const double> x,
                              std::span<const double> extra);

// Rise of each of `states` by 1 W into each of them, K/W, all else following; row-major,
// states that rise x states that are heated. `extra` as in linearise.
std::vector<double> heat_response(const Circuit& circuit, std::span<const double> x,
                                  std::span<const int> states, std::span<const double> extra);

// Slopes of the answers by every quantity with all unknowns following (implicit function
// theorem), row-major answers x quantities.
std::vector<double> answer_slopes(const Circuit& circuit, std::span<const double> x,
                                  Evaluation& work);

}  // namespace libloop::network
