#include "libloop/network/residuals.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "libloop/network/plan.hpp"

namespace libloop::network {

bool finite(const std::vector<double>& values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

double flow_residual(const Circuit& circuit, const Evaluation& work) {
  double worst = 0.0;
  for (std::size_t l = 0; l < at(circuit.loops()); ++l) {
    worst = std::max(worst, std::abs(work.residual[l]) / std::max(work.drops[l], least_drop));
  }
  return worst;
}

double heat_residual(const Circuit& circuit, const Evaluation& work, double load) {
  double worst = 0.0;
  for (int s = 0; s < circuit.states(); ++s) {
    worst = std::max(worst, std::abs(work.residual[at(circuit.state_row(s))]));
  }
  return worst / std::max(load, 1.0);
}

double heat_balance(const Circuit& circuit, const Evaluation& work, double load,
                    std::span<const double> x) {
  return std::max(heat_residual(circuit, work, load), definition_residual(circuit, work, x));
}

double definition_residual(const Circuit& circuit, const Evaluation& work,
                           std::span<const double> x) {
  double worst = 0.0;
  const int nodes = circuit.aux_row(circuit.auxiliaries());
  for (int a = circuit.aux_row(0); a < nodes; ++a) {
    worst = std::max(worst, std::abs(work.residual[at(a)]) / std::max(std::abs(x[at(a)]), 1e-9));
  }
  constexpr double kelvins = 10.0;  // what counts as all of a node's temperature
  for (int n = nodes; n < circuit.unknowns(); ++n) {
    worst = std::max(worst, std::abs(work.residual[at(n)]) / kelvins);
  }
  return worst;
}

double worst_residual(const Circuit& circuit, const Evaluation& work, double load,
                      std::span<const double> x) {
  return std::max(flow_residual(circuit, work), heat_balance(circuit, work, load, x));
}

Summary ended(std::string reason, std::string why, int iterations, const Circuit& circuit,
              const Evaluation& work, const SolveOptions& options) {
  Summary summary;
  summary.usable = reason == "converged";
  summary.reason = std::move(reason);
  summary.why = std::move(why);
  summary.iterations = iterations;
  summary.flow_residual = flow_residual(circuit, work);
  summary.heat_residual = heat_residual(circuit, work, options.load);
  return summary;
}

}  // namespace libloop::network
