// Who owns the slow modes of coolers: sums that hold whatever the numbers, and differences.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "libloop/network/modes.hpp"
#include "support/coolers.hpp"

using namespace libloop;
using libloop::network::Mode;
using libloop::network::Modes;
using libloop::network::Share;
using libloop::testing::Case;

namespace {

double sum(const std::vector<Share>& shares) {
  double all = 0.0;
  for (const Share& s : shares) all += s.share;
  return all;
}

double share(const std::vector<Share>& shares, const std::string& name) {
  for (const Share& s : shares) {
    if (s.name == name) return s.share;
  }
  return 0.0;
}

// A load read hot: dies that give off more the warmer they are.
std::vector<double> some_leakage(const network::Circuit& circuit, double slope) {
  std::vector<double> extra;
  for (int s = 0; s < circuit.states(); ++s) {
    extra.push_back(circuit.state(s).rfind("die", 0) == 0 ? slope : 0.0);
  }
  return extra;
}

struct Worst {
  double capacities = 0.0, conductances = 0.0, distinctness = 1.0;
  int modes = 0, without = 0;
};

void check_sums(const Solver& solver, int owned, Worst& worst) {
  const network::Circuit& circuit = solver.circuit();
  const std::vector<double> extra = some_leakage(circuit, 0.3);
  const Modes modes(circuit, solver.unknowns(), extra, {}, owned);
  REQUIRE(modes.summary().usable);
  worst.distinctness = std::min(worst.distinctness, modes.distinctness());
  for (int k = 0; k < std::min(owned, modes.count()); ++k) {
    const Mode& mode = modes.all()[static_cast<std::size_t>(k)];
    CAPTURE(k);
    CAPTURE(mode.time_constant);
    CAPTURE(mode.period);
    if (mode.capacities.empty()) {
      ++worst.without;
      continue;
    }
    ++worst.modes;
    const double own = std::abs(sum(mode.capacities) - 1.0);
    const double flows = std::abs(sum(mode.conductances) + 1.0);
    CHECK(own < 1e-6);
    CHECK(flows < 1e-6);
    worst.capacities = std::max(worst.capacities, own);
    worst.conductances = std::max(worst.conductances, flows);
  }
}

void tell(const Worst& worst) {
  MESSAGE("modes: " << worst.modes << ", without owners: " << worst.without
                    << ", worst sums off by: " << worst.capacities << " and " << worst.conductances
                    << ", least distinctness: " << worst.distinctness);
}

}  // namespace

TEST_CASE("every capacity of a circuit has a name, and everything that conducts") {
  for (const Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    Solver solver(Model(c.cooler, c.bench, 2));
    for (const auto& element : solver.circuit().elements()) {
      CAPTURE(element->name());
      const auto& outputs = element->outputs();
      const auto capacities = std::count_if(
          outputs.begin(), outputs.end(),
          [](const network::Output& o) { return o.kind == network::Output::Kind::capacity; });
      CHECK(static_cast<std::size_t>(capacities) == element->stores().size());
    }
  }
}

TEST_CASE("shares of every example sum to one and less one, at any speed of fans and pump") {
  Worst worst;
  for (const Case& c : testing::some_cases()) {
    for (const int cells : {1, 3}) {
      const Model model(c.cooler, c.bench, cells);
      Solver solver(model);
      for (const Duty& duty : {Duty{.load = 180.0}, Duty{.load = 90.0, .fan = 0.35},
                               Duty{.load = 60.0, .fan = 0.6, .pump = 0.5},
                               Duty{.load = 15.0, .fan = 0.0}, Duty{.load = 5.0, .pump = 0.0}}) {
        CAPTURE(c.name);
        CAPTURE(cells);
        CAPTURE(duty.fan);
        CAPTURE(duty.pump);
        if (!solver.solve(duty).summary.usable) continue;
        check_sums(solver, 6, worst);
      }
    }
  }
  tell(worst);
}

TEST_CASE("shares of random coolers and loops sum to one and less one") {
  Worst worst;
  for (unsigned long long seed = 0; seed < 40; ++seed) {
    for (const auto make : {testing::random_case, testing::random_graph}) {
      CAPTURE(seed);
      const Case c = make(seed);
      const Model model(c.cooler, c.bench);
      Solver solver(model);
      const OperatingPoint p =
          solver.solve_at(testing::draw(model, testing::random_duty(seed), seed));
      if (!p.summary.usable) continue;
      check_sums(solver, 4, worst);
    }
  }
  tell(worst);
}

// At the settled point with one conductance changed; what leaves a part then stands a little
// off what its place holds, which flows hardly feel.
TEST_CASE("shares of conductances are differences of the time constant") {
  for (const Case& c : testing::some_cases()) {
    if (c.name != "thin-240" && c.name != "custom-loop" &&
        c.name != "load at a reference temperature")
      continue;
    CAPTURE(c.name);
    Solver solver(Model(c.cooler, c.bench));
    REQUIRE(solver.solve({.load = 100.0}).summary.usable);
    const network::Circuit& circuit = solver.circuit();
    const Modes modes(circuit, solver.unknowns(), {}, {}, 1);
    std::map<std::string, double> by_difference;
    for (const auto& element : circuit.elements()) {
      const std::vector<network::Conductance> own = element->conductances();
      for (int k = 0; k < static_cast<int>(own.size()); ++k) {
        const network::Conductance& one = own[static_cast<std::size_t>(k)];
        const std::string& name = one.name;
        // Others take part in these.
        if (one.handed_on || name == "coolant flow" || name == "air flow") continue;
        double log[2];
        for (const int side : {0, 1}) {
          element->scale(k, std::exp(side == 0 ? -1e-4 : 1e-4));
          log[side] = std::log(Modes(circuit, solver.unknowns(), {}, {}, 0).all()[0].time_constant);
        }
        element->scale(k, 1.0);
        by_difference[name] += (log[1] - log[0]) / 2e-4;
      }
    }
    for (const auto& [name, difference] : by_difference) {
      CAPTURE(name);
      CHECK(share(modes.all()[0].conductances, name) ==
            doctest::Approx(difference).epsilon(5e-3).scale(0.2));
    }
  }
}

// Common practice, no source: minutes of a warm-up belong to coolant and radiators, the chip
// itself is done in a second, and more fins or air shorten it.
TEST_CASE("the slow part of a chip's warm-up is that of coolant and radiator") {
  const Case c = testing::some_cases().front();
  Solver solver(Model(c.cooler, c.bench));
  const Duty duty{.load = 150.0};
  REQUIRE(solver.solve(duty).summary.usable);
  const network::Circuit& circuit = solver.circuit();
  const Modes modes(circuit, solver.unknowns(), {}, {}, 6);
  std::vector<double> die, start;
  for (int s = 0; s < circuit.states(); ++s) {
    die.push_back(circuit.state(s) == "die" ? 1.0 : 0.0);
    start.push_back(duty.ambient -
                    solver.unknowns()[static_cast<std::size_t>(circuit.state_row(s))]);
  }
  const std::vector<double> parts = modes.amplitudes(die, start);
  std::size_t largest = 0;
  for (std::size_t k = 0; k < 6; ++k) {
    const Mode& mode = modes.all()[k];
    if (mode.time_constant < 10.0) break;
    CHECK(share(mode.capacities, "dies") < 0.01);
    if (std::abs(parts[k]) > std::abs(parts[largest])) largest = k;
  }
  double loop = 0.0;
  const Mode& slow = modes.all()[largest];
  for (const Share& s : slow.capacities) {
    CHECK(s.share > -0.01);
    if (s.name.rfind("coolant in", 0) == 0 || s.name.find("radiator") != std::string::npos) {
      loop += s.share;
    }
  }
  CHECK(loop > 0.8);
  CHECK(share(slow.conductances, "fins of radiator") < -0.1);
  CHECK(share(slow.conductances, "air flow") < -0.1);
}

TEST_CASE("evaluations leave every conductance as it was") {
  const Case c = testing::some_cases().front();
  Solver solver(Model(c.cooler, c.bench));
  REQUIRE(solver.solve({.load = 150.0}).summary.usable);
  const std::vector<double> before = solver.linearise();
  const Modes modes(solver.circuit(), solver.unknowns(), {}, {}, 5);
  CHECK(solver.linearise() == before);
}
