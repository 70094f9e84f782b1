// How coolers move with what moves, against differences.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "libloop/network/plan.hpp"
#include "support/coolers.hpp"

using namespace libloop;
using namespace libloop::network;

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

class Dice {
 public:
  explicit Dice(unsigned seed) : generator_(seed) {}
  double uniform(double low, double high) {
    return low + (high - low) * (static_cast<double>(generator_()) / 4294967296.0);
  }
  bool chance(double p) { return uniform(0.0, 1.0) < p; }

 private:
  std::mt19937 generator_;
};

// At x: rates by quantities, against residuals of the same circuit at values moved.
void check_rates(const Model& model, const std::vector<double>& values, Dice& dice) {
  Solver here(model);
  if (!here.solve_at(values).summary.usable) return;
  std::vector<int> moved;
  std::vector<double> rate(values.size(), 0.0), rates_of_moved;
  for (std::size_t q = 0; q < values.size(); ++q) {
    const Row& row = *model.quantities()[q].row;
    const double room = std::min(values[q] - row.min, row.max - values[q]);
    if (room <= 1e-3 * std::abs(values[q]) || !dice.chance(0.5)) continue;
    moved.push_back(static_cast<int>(q));
    rate[q] = values[q] * dice.uniform(-1.0, 1.0);
    rates_of_moved.push_back(rate[q]);
  }
  const Circuit& c = here.circuit();
  const std::vector<double> x = here.unknowns();
  Evaluation work, up, down;
  c.evaluate(x, network::Slopes::none, work);
  Rates rates;
  c.rates(x, moved, rates_of_moved, work, rates);
  constexpr double h = 1e-5;
  const auto evaluate = [&](double step, Evaluation& at) {
    std::vector<double> other = values;
    for (std::size_t q = 0; q < other.size(); ++q) other[q] += step * rate[q];
    Solver there(model);
    there.resolve(other);  // prepares its circuit
    there.circuit().evaluate(x, network::Slopes::none, at);
  };
  evaluate(h, up);
  evaluate(-h, down);
  const auto compare = [&](const std::vector<double>& exact, const std::vector<double>& above,
                           const std::vector<double>& below) {
    for (std::size_t i = 0; i < exact.size(); ++i) {
      const double size = std::abs(above[i]) + std::abs(exact[i]);
      CAPTURE(i);
      CAPTURE(exact[i]);
      // Residuals are differences of larger numbers: rounding of 1e-10 / h.
      CHECK(std::abs(exact[i] - (above[i] - below[i]) / (2.0 * h)) <= 1e-6 * size + 2e-5);
    }
  };
  compare(rates.residual, up.residual, down.residual);
  compare(rates.capacity, up.capacity, down.capacity);
  compare(rates.answer, up.answer, down.answer);
}

// Slopes of every state's capacity by all unknowns, along one direction.
void check_capacity_slopes(const Circuit& c, const std::vector<double>& x, Dice& dice) {
  Evaluation work, up, down;
  c.evaluate(x, network::Slopes::in_time, work);
  std::vector<double> along, above = x, below = x;
  constexpr double h = 1e-3;
  for (std::size_t i = 0; i < x.size(); ++i) {
    along.push_back(dice.uniform(-1.0, 1.0) * (static_cast<int>(i) < c.loops() ? 1e-3 : 1.0));
    above[i] += h * along[i];
    below[i] -= h * along[i];
  }
  std::vector<double> slope(index(c.states()), 0.0);
  const int branches = static_cast<int>(c.branches().size());
  std::size_t places = 0;
  for (const Stored& s : c.plan().stored) {
    const int column = c.plan().places[index(s.from)].column;
    if (column < branches) continue;  // no capacity follows a flow
    const int unknown = column - branches + c.loops();
    slope[index(s.state)] += work.slope[index(s.from)] * along[index(unknown)];
    ++places;
    CHECK(c.plan().places[index(s.to)].column == column);
  }
  CHECK(places > 0);
  c.evaluate(above, network::Slopes::none, up);
  c.evaluate(below, network::Slopes::none, down);
  for (std::size_t s = 0; s < slope.size(); ++s) {
    const double by_difference = (up.capacity[s] - down.capacity[s]) / (2.0 * h);
    CHECK(std::abs(slope[s] - by_difference) <=
          1e-6 * std::abs(by_difference) + 1e-8 * up.capacity[s]);
  }
}

}  // namespace

TEST_CASE("rates of coolers and of loops of any shape are those of differences") {
  Dice dice(5);
  for (const testing::Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    const Model model(c.cooler, c.bench, 2);
    check_rates(model, model.typical({.load = 180.0, .fan = 0.7, .pump = 0.8}), dice);
  }
  for (unsigned long long seed = 0; seed < 30; ++seed) {
    CAPTURE(seed);
    const testing::Case c = testing::random_graph(seed);
    const Model model(c.cooler, c.bench);
    check_rates(model, testing::draw(model, {.load = 120.0, .fan = 0.7, .pump = 0.8}, seed), dice);
  }
}

TEST_CASE("capacities' slopes are those of differences") {
  Dice dice(6);
  for (const testing::Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    Solver solver(Model(c.cooler, c.bench, 3));
    REQUIRE(solver.solve({.load = 180.0}).summary.usable);
    check_capacity_slopes(solver.circuit(), solver.unknowns(), dice);
  }
}
