#include "libloop/network/alternate.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "libloop/network/linear.hpp"
#include "libloop/network/residuals.hpp"

namespace libloop::network {
namespace {

constexpr double largest_rise = 300.0;  // K: the largest step of a temperature

// Newton's steps for states, auxiliaries and nodes while the flows stay.
class HeatStep {
 public:
  explicit HeatStep(const Circuit& circuit)
      : circuit_(circuit), linear_(circuit, Linear::Part::all) {
    const int branches = static_cast<int>(circuit.branches().size());
    const std::vector<Place>& places = circuit.plan().places;
    for (std::size_t p = 0; p < places.size(); ++p) {
      if (places[p].row < branches && places[p].column >= branches) by_heat_.push_back(p);
    }
  }

  // False when the equations determine nothing.
  bool take(const Evaluation& work, std::vector<double>& x) {
    // Drops that do not feel temperatures and balance leave the flows alone.
    slope_ = work.slope;
    for (const std::size_t place : by_heat_) slope_[place] = 0.0;
    linear_.factor(slope_);
    right_ = work.residual;
    for (double& r : right_) r = -r;
    std::fill_n(right_.begin(), circuit_.loops(), 0.0);
    const std::vector<double> step = linear_.solve(right_);
    if (!finite(step)) return false;
    for (int i = circuit_.loops(); i < circuit_.unknowns(); ++i) {
      const bool aux = i >= circuit_.aux_row(0) && i < circuit_.aux_row(circuit_.auxiliaries());
      const double most = aux ? std::max(std::abs(x[at(i)]), 1e3) : largest_rise;
      x[at(i)] += std::clamp(step[at(i)], -most, most);
    }
    return true;
  }

 private:
  const Circuit& circuit_;
  Linear linear_;
  std::vector<std::size_t> by_heat_;
  std::vector<double> slope_, right_;
};

// Goes part of the way to what a turn asks for: Aitken's rule from the last two turns. Where a
// flow of nearly nothing decides which of two temperatures a node has, whole turns would
// run to and fro for ever.
class Relaxation {
 public:
  // From `before` towards x, in place, flows aside.
  void apply(int first, const std::vector<double>& before, std::vector<double>& x) {
    ++turns_;
    std::vector<double> asked(x.begin() + first, x.end());
    for (std::size_t i = 0; i < asked.size(); ++i) asked[i] -= before[at(first) + i];
    if (!last_.empty()) {
      double along = 0.0, square = 0.0;
      for (std::size_t i = 0; i < asked.size(); ++i) {
        const double change = asked[i] - last_[i];
        along += last_[i] * change;
        square += change * change;
      }
      if (square > 0.0) share_ = std::clamp(-share_ * along / square, least, 1.0);
      if (turns_ > clever) share_ = steady;
    }
    for (std::size_t i = 0; i < asked.size(); ++i) {
      x[at(first) + i] = before[at(first) + i] + share_ * asked[i];
    }
    last_ = std::move(asked);
  }

 private:
  static constexpr double least = 0.02, steady = 0.25;
  static constexpr int clever = 40;  // turns; then plainly
  double share_ = 1.0;
  int turns_ = 0;
  std::vector<double> last_;
};

}  // namespace

Summary alternate(const Circuit& circuit, const SolveOptions& options, double enough,
                  std::vector<double>& x, Evaluation& work) {
  constexpr int turns = 150, heat_steps = 8;
  HeatStep heat(circuit);
  Relaxation relaxation;
  for (int turn = 0; turn <= turns; ++turn) {
    const Summary flows = solve_flows(circuit, options, x, work);
    if (flows.reason == "not_finite") return flows;
    const std::vector<double> before = x;
    for (int i = 0; i <= heat_steps; ++i) {
      circuit.evaluate(x, Slopes::by_unknown, work);
      if (!finite(work.residual) || !finite(work.slope)) {
        return ended("not_finite", "a balance is not finite", turn, circuit, work, options);
      }
      const double worst = worst_residual(circuit, work, options.load, x);
      if (worst <= enough) {
        return ended("converged", "flows and heat balance", turn, circuit, work, options);
      }
      // Temperatures that balance at these flows as well as they can: the flows' turn.
      if (i > 0 && heat_balance(circuit, work, options.load, x) <= 0.1 * options.tolerance) break;
      if (!heat.take(work, x)) {
        return ended("singular", "the balances do not determine the temperatures", turn, circuit,
                     work, options);
      }
    }
    relaxation.apply(circuit.loops(), before, x);
  }
  return ended("no_convergence", "flows and temperatures did not come to terms", turns, circuit,
               work, options);
}

}  // namespace libloop::network
