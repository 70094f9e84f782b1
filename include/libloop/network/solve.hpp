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
  std::string reason;  // one word, stable: converged, no_convergence, not_finite, singular
  std::string why;     // one sentence
  int iterations = 0;
  double flow_residual = 0.0;  // largest loop residual over the drops around that loop
  double heat_residual = 0.0;  // largest state residual over max(load, 1 W)
};

struct SolveOptions {
  double load = 1.0;         // W, the scale of heat flows
  double tolerance = 1e-10;  // on flow_residual and heat_residual
  int iterations = 60;
};

// Brings the flows of a first guess near, by their own imbalance: pressure drops rise
// about as the power 1.2 of flow. One cheap evaluation here saves a Jacobian later.
void nudge_flows(const Circuit& circuit, std::vector<double>& x, Evaluation& work);

// Flows at the temperatures of x. The flow networks minimise a convex content, the
// integral of the drops over the flows; Newton's step is shortened until the content's
// slope along it no longer says "too far", so it converges from any start where every
// element's drop rises with flow.
Summary solve_flows(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
                    Evaluation& work);

// The operating point: Newton on flows, temperatures and auxiliaries at once, from x. On
// return `work` holds the values at x, without slopes.
Summary solve(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
              Evaluation& work);

// The warm-up's right-hand side linearised at x, with flows and auxiliaries following at
// once: dT/dt = A (T - T0). Row-major, states x states. `extra` is added to the diagonal
// of the heat slopes (W/K by state): leakage.
std::vector<double> linearise(const Circuit& circuit, std::span<const double> x,
                              std::span<const double> extra);

// Slopes of the answers by every quantity with all unknowns following (implicit function
// theorem), row-major answers x quantities.
std::vector<double> answer_slopes(const Circuit& circuit, std::span<const double> x,
                                  Evaluation& work);

}  // namespace libloop::network
