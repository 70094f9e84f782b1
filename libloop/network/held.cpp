#include "libloop/network/held.hpp"

#include <algorithm>
#include <utility>

namespace libloop::network {

std::vector<double> heat_slopes(const Circuit& circuit, std::span<const double> x, Slopes slopes,
                                std::span<const double> extra, Evaluation& work) {
  circuit.evaluate(x, slopes, work);
  std::vector<double> slope = work.slope;
  for (std::size_t s = 0; s < extra.size(); ++s) {
    slope[at(circuit.plan().own_state[s])] += extra[s];
  }
  return slope;
}

std::vector<double> with_states_held(const Circuit& circuit, std::vector<double> slope) {
  const Plan& plan = circuit.plan();
  for (std::size_t p = 0; p < slope.size(); ++p) {
    if (state_of(circuit, plan.places[p].row) >= 0) slope[p] = 0.0;
  }
  for (const int own : plan.own_state) slope[at(own)] = 1.0;
  return slope;
}

Held::Held(const Circuit& circuit, std::vector<double> slope)
    : circuit_(circuit),
      slope_(std::move(slope)),
      first_(wide(circuit, circuit.state_row(0))),
      linear_(circuit, Linear::Part::all) {
  follows_ = linear_.factor(with_states_held(circuit, slope_));
}

std::vector<double> Held::follow(std::span<const double> states) const {
  std::vector<double> right(at(circuit_.plan().rows), 0.0);
  std::copy(states.begin(), states.end(), right.begin() + first_);
  return linear_.solve_wide(right);
}

std::vector<double> Held::heat(std::span<const double> columns) const {
  std::vector<double> all(at(circuit_.states()), 0.0);
  const std::vector<Place>& places = circuit_.plan().places;
  for (std::size_t p = 0; p < slope_.size(); ++p) {
    if (!is_state(places[p].row)) continue;
    all[at(places[p].row - first_)] += slope_[p] * columns[at(places[p].column)];
  }
  return all;
}

std::vector<double> Held::answers(std::span<const double> columns) const {
  std::vector<double> all(at(circuit_.answers()), 0.0);
  const std::vector<Place>& places = circuit_.plan().places;
  for (std::size_t p = 0; p < slope_.size(); ++p) {
    const int answer = answer_of(circuit_, places[p].row);
    if (answer >= 0) all[at(answer)] += slope_[p] * columns[at(places[p].column)];
  }
  return all;
}

std::vector<double> Held::weigh(std::span<const double> states) const {
  const Plan& plan = circuit_.plan();
  std::vector<double> gradient(at(plan.rows), 0.0);
  for (std::size_t p = 0; p < slope_.size(); ++p) {
    const Place& place = plan.places[p];
    if (!is_state(place.row)) continue;
    gradient[at(place.column)] += slope_[p] * states[at(place.row - first_)];
  }
  std::vector<double> weight = linear_.solve_transposed(gradient);
  for (double& w : weight) w = -w;
  std::copy(states.begin(), states.end(), weight.begin() + first_);
  return weight;
}

}  // namespace libloop::network
