// What follows from the slopes at a solved point.
#include <algorithm>

#include "libloop/network/held.hpp"
#include "libloop/network/linear.hpp"
#include "libloop/network/solve.hpp"

namespace libloop::network {

std::vector<double> linearise(const Circuit& circuit, std::span<const double> x,
                              std::span<const double> extra) {
  Evaluation work;
  const Held held(circuit, heat_slopes(circuit, x, Slopes::by_unknown, extra, work));
  const std::size_t states = at(circuit.states());
  std::vector<double> a(states * states, 0.0), moved(states, 0.0);
  for (std::size_t s = 0; s < states; ++s) {
    moved[s] = 1.0;
    const std::vector<double> heat = held.heat(held.follow(moved));
    moved[s] = 0.0;
    for (std::size_t row = 0; row < states; ++row) {
      a[row * states + s] = heat[row] / work.capacity[row];
    }
  }
  return a;
}

std::vector<double> heat_response(const Circuit& circuit, std::span<const double> x,
                                  std::span<const int> states, std::span<const double> extra) {
  Evaluation work;
  Linear linear(circuit, Linear::Part::all);
  linear.factor(heat_slopes(circuit, x, Slopes::by_unknown, extra, work));
  const std::size_t n = states.size();
  std::vector<double> response(n * n), right(at(circuit.unknowns()), 0.0);
  for (std::size_t j = 0; j < n; ++j) {
    right[at(circuit.state_row(states[j]))] = -1.0;
    const std::vector<double> rise = linear.solve(right);
    right[at(circuit.state_row(states[j]))] = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      response[i * n + j] = rise[at(circuit.state_row(states[i]))];
    }
  }
  return response;
}

// One solve for each answer, none for each quantity.
std::vector<double> answer_slopes(const Circuit& circuit, std::span<const double> x,
                                  Evaluation& work) {
  circuit.evaluate(x, Slopes::of_answers, work);
  const Plan& plan = circuit.plan();
  const std::size_t rows = at(plan.rows), answers = at(circuit.answers());
  std::vector<double> gradient(answers * rows, 0.0), weight;
  for (std::size_t p = 0; p < plan.places.size(); ++p) {
    const Place& place = plan.places[p];
    const int answer = answer_of(circuit, place.row);
    if (answer >= 0) gradient[at(answer) * rows + at(place.column)] = work.slope[p];
  }
  Linear linear(circuit, Linear::Part::all);
  linear.factor(work.slope);
  for (std::size_t a = 0; a < answers; ++a) {
    const std::vector<double> own =
        linear.solve_transposed(std::span<const double>(gradient).subspan(a * rows, rows));
    weight.insert(weight.end(), own.begin(), own.end());
  }
  std::vector<double> total(answers * at(circuit.quantities()), 0.0);
  circuit.add_quantity_slopes(x, weight, work, total);
  return total;
}

}  // namespace libloop::network
