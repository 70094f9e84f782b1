#include "libloop/network/solve.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

namespace libloop::network {
namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Vector = Eigen::VectorXd;
using MatrixView = Eigen::Map<const Matrix>;
using VectorView = Eigen::Map<const Vector>;

constexpr double least_drop = 1e-9;    // Pa: below, a loop counts as at rest
constexpr double least_step = 1e-3;    // kg/s: a flow may always move by this much
constexpr double largest_rise = 80.0;  // K: the largest step of a temperature
constexpr double specific_heat_step = 500.0;

MatrixView slopes(const Circuit& circuit, const Evaluation& work) {
  return {work.slope.data(), circuit.unknowns(), work.columns};
}

bool finite(const std::vector<double>& values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

double flow_residual(const Circuit& circuit, const Evaluation& work) {
  double worst = 0.0;
  for (int l = 0; l < circuit.loops(); ++l) {
    const auto i = static_cast<std::size_t>(l);
    worst = std::max(worst, std::abs(work.residual[i]) / std::max(work.drops[i], least_drop));
  }
  return worst;
}

double heat_residual(const Circuit& circuit, const Evaluation& work, double load) {
  double worst = 0.0;
  for (int s = 0; s < circuit.states(); ++s) {
    worst =
        std::max(worst, std::abs(work.residual[static_cast<std::size_t>(circuit.state_row(s))]));
  }
  return worst / std::max(load, 1.0);
}

double aux_residual(const Circuit& circuit, const Evaluation& work, std::span<const double> x) {
  double worst = 0.0;
  for (int r = circuit.state_row(circuit.states()); r < circuit.unknowns(); ++r) {
    const auto i = static_cast<std::size_t>(r);
    worst = std::max(worst, std::abs(work.residual[i]) / std::max(std::abs(x[i]), 1e-9));
  }
  return worst;
}

// Newton's step, no unknown moving further than the physics makes plausible at once.
void take_step(const Circuit& circuit, const Vector& step, std::vector<double>& x) {
  for (int i = 0; i < circuit.unknowns(); ++i) {
    double& value = x[static_cast<std::size_t>(i)];
    const bool is_flow = i < circuit.loops();
    const bool is_state = !is_flow && i < circuit.state_row(circuit.states());
    if (is_flow) {
      // A flow may grow fourfold or shrink to a fifth; only a small one changes its sign.
      const double towards_zero = 0.8 * std::abs(value) + least_step;
      const double away = 3.0 * std::abs(value) + least_step;
      value += value >= 0.0 ? std::clamp(step[i], -towards_zero, away)
                            : std::clamp(step[i], -away, towards_zero);
    } else {
      const double most = is_state ? largest_rise : std::max(std::abs(value), specific_heat_step);
      value += std::clamp(step[i], -most, most);
    }
  }
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

// The first unknown that is not finite, by name.
std::string culprit(const Circuit& circuit, const Evaluation& work) {
  for (int s = 0; s < circuit.states(); ++s) {
    if (!std::isfinite(work.residual[static_cast<std::size_t>(circuit.state_row(s))])) {
      return circuit.state(s);
    }
  }
  return "a flow";
}

double worst_residual(const Circuit& circuit, const Evaluation& work, double load,
                      std::span<const double> x) {
  return std::max({flow_residual(circuit, work), heat_residual(circuit, work, load),
                   aux_residual(circuit, work, x)});
}

// One attempt from x. `settle` solves the flows before each step: slower, sturdier.
Summary attempt(const Circuit& circuit, const SolveOptions& options, bool settle,
                std::vector<double>& x, Evaluation& work) {
  // Close to the end the last Jacobian serves on: residuals alone are far cheaper.
  constexpr double close = 2e-3;
  Eigen::PartialPivLU<Matrix> factors;
  double last = std::numeric_limits<double>::infinity();
  for (int i = 0; i <= options.iterations; ++i) {
    const bool keep = last < close;
    if (settle && !keep) solve_flows(circuit, options, x, work);
    circuit.evaluate(x, keep ? Slopes::none : Slopes::by_unknown, work);
    if (!finite(work.residual) || !finite(work.slope)) {
      return ended("not_finite", "the balance of " + culprit(circuit, work) + " is not finite", i,
                   circuit, work, options);
    }
    const double worst = worst_residual(circuit, work, options.load, x);
    if (worst <= options.tolerance) {
      return ended("converged", "flows and heat balance", i, circuit, work, options);
    }
    if (!keep) factors.compute(slopes(circuit, work));
    const Vector step = factors.solve(-VectorView(work.residual.data(), circuit.unknowns()));
    if (!step.allFinite()) {
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

void nudge_flows(const Circuit& circuit, std::vector<double>& x, Evaluation& work) {
  constexpr double power = 1.2;
  circuit.evaluate(x, Slopes::none, work);
  for (int l = 0; l < circuit.loops(); ++l) {
    const auto i = static_cast<std::size_t>(l);
    const double imbalance = work.residual[i] / std::max(work.drops[i], least_drop);
    if (std::isfinite(imbalance)) x[i] *= std::exp(-imbalance / power);
  }
}

Summary solve_flows(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
                    Evaluation& work) {
  const int loops = circuit.loops();
  Evaluation trial;
  for (int i = 0; i <= options.iterations; ++i) {
    circuit.evaluate(x, Slopes::by_unknown, work);
    if (!finite(work.residual)) {
      return ended("not_finite", "a pressure drop is not finite", i, circuit, work, options);
    }
    if (flow_residual(circuit, work) <= options.tolerance) {
      return ended("converged", "flows balance", i, circuit, work, options);
    }
    const VectorView residual(work.residual.data(), loops);
    const Vector step =
        Matrix(slopes(circuit, work).topLeftCorner(loops, loops)).partialPivLu().solve(-residual);
    const double downhill = residual.dot(step);
    const std::vector<double> before = x;
    double length = 1.0;
    for (int halving = 0; halving < 40; ++halving) {
      for (int l = 0; l < loops; ++l) {
        const auto j = static_cast<std::size_t>(l);
        x[j] = before[j] + length * step[l];
      }
      circuit.evaluate(x, Slopes::none, trial);
      const double uphill = VectorView(trial.residual.data(), loops).dot(step);
      if (std::isfinite(uphill) && uphill <= 0.5 * std::abs(downhill)) break;
      length *= std::isfinite(uphill)
                    ? std::clamp(std::abs(downhill) / (std::abs(downhill) + uphill), 0.05, 0.7)
                    : 0.1;
    }
  }
  return ended("no_convergence", "the flows were not found within the allowed iterations",
               options.iterations, circuit, work, options);
}

Summary solve(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
              Evaluation& work) {
  const std::vector<double> start = x;
  Summary summary = attempt(circuit, options, false, x, work);
  if (summary.usable) return summary;
  x = start;
  return attempt(circuit, options, true, x, work);
}

std::vector<double> linearise(const Circuit& circuit, std::span<const double> x,
                              std::span<const double> extra) {
  Evaluation work;
  circuit.evaluate(x, Slopes::by_unknown, work);
  const int n = circuit.unknowns(), states = circuit.states(), first = circuit.loops();
  const int rest = n - states;
  const MatrixView all = slopes(circuit, work);
  // Unknowns other than states: the loops before them, the auxiliaries after.
  const auto other = [&](int i) { return i < first ? i : i + states; };
  Matrix tt = all.block(first, first, states, states);
  Matrix to(states, rest), ot(rest, states), oo(rest, rest);
  for (int i = 0; i < rest; ++i) {
    to.col(i) = all.block(first, other(i), states, 1);
    ot.row(i) = all.block(other(i), first, 1, states);
    for (int j = 0; j < rest; ++j) oo(i, j) = all(other(i), other(j));
  }
  if (rest > 0) tt -= to * oo.partialPivLu().solve(ot);
  for (int s = 0; s < states; ++s) {
    const auto i = static_cast<std::size_t>(s);
    if (i < extra.size()) tt(s, s) += extra[i];
    tt.row(s) /= work.capacity[i];
  }
  return {tt.data(), tt.data() + tt.size()};
}

std::vector<double> answer_slopes(const Circuit& circuit, std::span<const double> x,
                                  Evaluation& work) {
  circuit.evaluate(x, Slopes::by_quantity, work);
  const int n = circuit.unknowns(), q = circuit.quantities();
  const MatrixView all = slopes(circuit, work);
  const MatrixView answers(work.answer_slope.data(), circuit.answers(), work.columns);
  // Adjoint: one solve for each answer, none for each quantity.
  const Matrix weight =
      all.leftCols(n).transpose().partialPivLu().solve(answers.leftCols(n).transpose());
  Matrix total = answers.rightCols(q) - weight.transpose() * all.rightCols(q);
  return {total.data(), total.data() + total.size()};
}

}  // namespace libloop::network
