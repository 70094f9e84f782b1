// At the temperatures of an operating point, what follows them is found again.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/network/plan.hpp"
#include "libloop/network/solve.hpp"
#include "support/coolers.hpp"

using namespace libloop;
using namespace libloop::network;
using libloop::testing::Case;

namespace {

bool is_state(const Circuit& c, int i) { return i >= c.state_row(0) && i < c.aux_row(0); }

// All but the states spoiled.
std::vector<double> spoiled(const Circuit& c, const std::vector<double>& x, double flow_factor,
                            double warmer) {
  std::vector<double> bad = x;
  for (int i = 0; i < c.unknowns(); ++i) {
    if (is_state(c, i)) continue;
    bad[at(i)] = i < c.loops() ? x[at(i)] * flow_factor : x[at(i)] + warmer;
  }
  return bad;
}

void check_returns(const Circuit& c, const std::vector<double>& x, const std::vector<double>& from,
                   double tolerance) {
  std::vector<double> found = from;
  Evaluation work;
  SolveOptions options;
  options.load = 180.0;
  const Summary summary = follow(c, options, found, work);
  CAPTURE(summary.reason);
  REQUIRE(summary.usable);
  CHECK(summary.flow_residual <= options.tolerance);
  for (int i = 0; i < c.unknowns(); ++i) {
    CAPTURE(c.name(i));
    CAPTURE(found[at(i)]);
    CAPTURE(x[at(i)]);
    if (is_state(c, i)) CHECK(found[at(i)] == from[at(i)]);
    CHECK(std::abs(found[at(i)] - x[at(i)]) <= tolerance * std::max(std::abs(x[at(i)]), 1e-4));
  }
}

}  // namespace

TEST_CASE("at the temperatures of an operating point all else is found again") {
  for (const Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    Solver solver(Model(c.cooler, c.bench, 2));
    for (const Duty& duty : {Duty{.load = 180.0}, Duty{.load = 90.0, .fan = 0.4, .pump = 0.6}}) {
      REQUIRE(solver.solve(duty).summary.usable);
      const Circuit& circuit = solver.circuit();
      const std::vector<double>& x = solver.unknowns();
      check_returns(circuit, x, x, 1e-9);
      check_returns(circuit, x, spoiled(circuit, x, 0.3, 3.0), 1e-7);
      check_returns(circuit, x, spoiled(circuit, x, -2.0, -5.0), 1e-7);
      check_returns(circuit, x, spoiled(circuit, x, 0.0, 40.0), 1e-7);
    }
  }
}

TEST_CASE("with stopped fans, or a stopped pump, too") {
  for (const Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    Solver solver(Model(c.cooler, c.bench));
    for (const Duty& duty : {Duty{.load = 20.0, .fan = 0.0}, Duty{.load = 20.0, .pump = 0.0},
                             Duty{.load = 20.0, .fan = 0.0, .pump = 0.0}}) {
      if (!solver.solve(duty).summary.usable) continue;
      const Circuit& circuit = solver.circuit();
      const std::vector<double> x = solver.unknowns();
      std::vector<double> found = spoiled(circuit, x, 0.5, 1.0);
      Evaluation work;
      CHECK(follow(circuit, {}, found, work).usable);
      for (int l = 0; l < circuit.loops(); ++l) {
        CHECK(std::abs(found[at(l)] - x[at(l)]) <= 1e-6 * std::abs(x[at(l)]) + 1e-9);
      }
    }
  }
}
