// Flows at given temperatures.
#include <algorithm>
#include <cmath>

#include "libloop/network/residuals.hpp"
#include "libloop/network/stability.hpp"

namespace libloop::network {
namespace {

double dot(std::span<const double> a, std::span<const double> b) {
  double sum = 0.0;
  for (std::size_t i = 0; i < b.size(); ++i) sum += a[i] * b[i];
  return sum;
}

double largest(std::span<const double> values) {
  double most = 0.0;
  for (const double v : values) most = std::max(most, std::abs(v));
  return most;
}

// Newton's step for the flows of the loops, along slopes that are turned up where the
// flows are unstable or the slopes vanish.
class FlowStep {
 public:
  explicit FlowStep(const Circuit& circuit)
      : circuit_(circuit), linear_(circuit, Linear::Part::flows) {}

  std::vector<double> at_slopes(const Evaluation& work) {
    right_.assign(work.residual.begin(), work.residual.begin() + circuit_.loops());
    for (double& r : right_) r = -r;
    falling_ = {};
    if (any_falls(circuit_, work.slope)) falling_ = falling(circuit_, work.slope, linear_);
    if (stable() && linear_.factor(work.slope)) {
      const std::vector<double> step = linear_.solve(right_);
      if (finite(step) && dot(step, right_) >= 0.0) return step;
    }
    linear_.factor(turned_up(circuit_, work.slope));
    return linear_.solve(right_);
  }

  bool stable() const { return falling_.gain < 1.0; }

  // Along which an unstable balance tips over, as loop flows.
  std::vector<double> tipping(double size) const {
    std::vector<double> step;
    const double most = std::max(largest(falling_.direction), 1e-300);
    for (int l = 0; l < circuit_.loops(); ++l) {
      step.push_back(size * falling_.direction[at(circuit_.chord(l))] / most);
    }
    return step;
  }

 private:
  const Circuit& circuit_;
  Linear linear_;
  std::vector<double> right_;
  Falling falling_;
};

void move(std::vector<double>& x, const std::vector<double>& from, std::span<const double> step,
          double length) {
  for (std::size_t l = 0; l < step.size(); ++l) x[l] = from[l] + length * step[l];
}

// Goes along a step that leads down the content, until the content's slope is no longer
// much uphill. Returns the evaluations it took.
int search(const Circuit& circuit, std::span<const double> step, double downhill,
           std::vector<double>& x, Evaluation& trial) {
  const std::vector<double> before = x;
  const double size = std::abs(downhill);
  constexpr int patience = 40;
  double length = 1.0;
  for (int evaluations = 1;; ++evaluations) {
    move(x, before, step, length);
    circuit.evaluate(x, Slopes::none, trial);
    const double uphill = dot(trial.residual, step);
    if ((std::isfinite(uphill) && uphill <= 0.5 * size) || evaluations == patience) {
      return evaluations;
    }
    // Drops rise with about the second power of flow where a step is much too long.
    length *=
        std::isfinite(uphill) ? std::clamp(std::sqrt(size / (size + uphill)), 0.02, 0.7) : 0.1;
  }
}

// What counts as a small flow here: a hundredth of the largest.
double small_flow(const Evaluation& work) { return 0.01 * std::max(largest(work.flow), 1e-4); }

}  // namespace

void nudge_flows(const Circuit& circuit, std::vector<double>& x, Evaluation& work) {
  constexpr double power = 1.2;
  work.slope.clear();  // those of another point
  circuit.evaluate(x, Slopes::none, work);
  for (std::size_t l = 0; l < at(circuit.loops()); ++l) {
    const double imbalance = work.residual[l] / std::max(work.drops[l], least_drop);
    if (std::isfinite(imbalance)) x[l] *= std::exp(-imbalance / power);
  }
  // Definitions: one sweep, where it changes nothing by more than its own size.
  for (std::size_t i = at(circuit.aux_row(0)); i < x.size(); ++i) {
    if (std::abs(work.residual[i]) < std::abs(x[i])) x[i] += work.residual[i];
  }
}

Summary solve_flows(const Circuit& circuit, const SolveOptions& options, std::vector<double>& x,
                    Evaluation& work) {
  FlowStep newton(circuit);
  Evaluation trial;
  int evaluations = 0;
  const auto end = [&](const char* reason, const char* why, int iterations) {
    Summary summary = ended(reason, why, iterations, circuit, work, options);
    summary.evaluations = evaluations;
    return summary;
  };
  for (int i = 0; i <= options.iterations; ++i) {
    circuit.evaluate(x, Slopes::by_unknown, work);
    if (!finite(work.residual)) return end("not_finite", "a pressure drop is not finite", i);
    const bool balanced = flow_residual(circuit, work) <= options.tolerance;
    if (balanced && !any_falls(circuit, work.slope)) return end("converged", "flows balance", i);
    std::vector<double> step = newton.at_slopes(work);
    if (balanced) {
      if (newton.stable()) return end("converged", "flows balance", i);
      step = newton.tipping(small_flow(work));
      move(x, x, step, 1.0);
      continue;
    }
    if (!finite(step)) return end("singular", "the drops do not determine the flows", i);
    evaluations += search(circuit, step, dot(work.residual, step), x, trial);
  }
  return end("no_convergence", "the flows were not found within the allowed iterations",
             options.iterations);
}

namespace {

// Small implicit steps of inertance x dm/dt = - residual, with inertances of one in every
// branch: the slopes of the drops grow by 1/h.
class Motion {
 public:
  Motion(const Circuit& circuit, std::vector<double>& x, Evaluation& work)
      : circuit_(circuit), x_(x), work_(work), linear_(circuit, Linear::Part::flows) {}

  // One step, as long as the motion stays nearly straight along it.
  bool step() {
    const std::vector<double> before = x_;
    const std::vector<double> residual = work_.residual;
    const std::size_t loops = at(circuit_.loops());
    const std::vector<double> step = implicit_step();
    if (!finite(step)) return false;
    move(x_, before, step, 1.0);
    circuit_.evaluate(x_, Slopes::none, trial_);
    double strayed = 0.0, all = 0.0;
    const std::vector<double> expected = linear_change(step);
    for (std::size_t l = 0; l < loops; ++l) {
      const double error = trial_.residual[l] - residual[l] - expected[l];
      strayed += error * error;
      all += residual[l] * residual[l];
    }
    const double stray = std::sqrt(strayed / std::max(all, least_drop * least_drop));
    const bool kept = std::isfinite(stray) && stray <= 2.0 * aim;
    h_ *= std::isfinite(stray) ? std::clamp(aim / std::max(stray, 1e-12), 0.2, 3.0) : 0.1;
    if (!kept) x_ = before;
    return kept;
  }

  double gain() const { return gain_; }
  void shorten() { h_ *= 1e-3; }

 private:
  static constexpr double aim = 0.05;       // of the imbalance may stray
  static constexpr double most_gain = 0.5;  // growth stays resolved below this

  std::vector<double> implicit_step() {
    std::vector<double> right(work_.residual.begin(), work_.residual.begin() + circuit_.loops());
    for (double& r : right) r = -r;
    gain_ = any_falls(circuit_, work_.slope) ? falling(circuit_, work_.slope, linear_).gain : 0.0;
    std::vector<double> slope = with_inertia();
    while (gain_ >= 1.0 && falling(circuit_, slope, linear_).gain > most_gain) {
      h_ *= 0.5;
      slope = with_inertia();
    }
    linear_.factor(slope);
    return linear_.solve(right);
  }

  std::vector<double> with_inertia() const {
    std::vector<double> slope = work_.slope;
    for (const int place : circuit_.plan().own_slope) slope[at(place)] += 1.0 / h_;
    return slope;
  }

  // Change of the residuals along a step by the slopes alone.
  std::vector<double> linear_change(std::span<const double> step) const {
    std::vector<Sum> sum;
    std::vector<double> flow, drop(circuit_.branches().size(), 0.0), change;
    spread(circuit_.forest(), circuit_.edges(), step, sum, flow);
    const int branches = static_cast<int>(drop.size());
    for (std::size_t p = 0; p < circuit_.plan().places.size(); ++p) {
      const Place& place = circuit_.plan().places[p];
      if (place.row >= branches || place.column >= branches) continue;
      drop[at(place.row)] += work_.slope[p] * flow[at(place.column)];
    }
    climb(circuit_.forest(), drop, sum);
    for (const int chord : circuit_.forest().chords) {
      const Edge& edge = circuit_.edges()[at(chord)];
      change.push_back(drop[at(chord)] + difference(sum[at(edge.to)], sum[at(edge.from)]));
    }
    return change;
  }

  const Circuit& circuit_;
  std::vector<double>& x_;
  Evaluation& work_;
  Evaluation trial_;
  Linear linear_;
  double h_ = 1e-9;  // s, for an inertance of 1 Pa s2/kg
  double gain_ = 0.0;
};

}  // namespace

Summary solve_flows_from_rest(const Circuit& circuit, const SolveOptions& options,
                              std::vector<double>& x, Evaluation& work) {
  constexpr int patience = 2000;
  constexpr double settled = 1e-6;
  std::fill_n(x.begin(), circuit.loops(), 0.0);
  Motion motion(circuit, x, work);
  for (int i = 0; i < patience; ++i) {
    circuit.evaluate(x, Slopes::by_unknown, work);
    if (!finite(work.residual)) {
      return ended("not_finite", "a pressure drop is not finite", i, circuit, work, options);
    }
    if (flow_residual(circuit, work) > settled) {
      motion.step();
      continue;
    }
    FlowStep newton(circuit);
    newton.at_slopes(work);
    if (newton.stable()) {
      Summary summary = solve_flows(circuit, options, x, work);
      summary.iterations += i;
      return summary;
    }
    // Balanced on an edge: the least disturbance decides, as it would in the machine.
    const std::vector<double> step = newton.tipping(0.1 * small_flow(work));
    move(x, x, step, 1.0);
    motion.shorten();
  }
  return ended("no_convergence", "the flows did not come to rest", patience, circuit, work,
               options);
}

}  // namespace libloop::network
