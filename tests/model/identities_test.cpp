// What must hold for every cooler on every bench, whatever the numbers.
#include <doctest/doctest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "support/coolers.hpp"

using namespace libloop;
using libloop::testing::all_cases;
using libloop::testing::Case;
using libloop::testing::some_cases;

namespace {

constexpr Duty usual{.load = 180.0, .ambient = 296.15};

bool has_note(const OperatingPoint& p, const char* code) {
  return std::any_of(p.notes.begin(), p.notes.end(), [&](const Note& n) { return n.code == code; });
}

// At the point just solved, every drop against its own branch's flow.
void check_drops_rise(const Solver& solver) {
  const network::Circuit& circuit = solver.circuit();
  const std::vector<double>& x = solver.unknowns();
  for (const auto& element : circuit.elements()) {
    CAPTURE(element->name());
    if (element->rising()) continue;  // it says so
    const auto& inputs = element->inputs();
    const auto& outputs = element->outputs();
    for (std::size_t o = 0; o < outputs.size(); ++o) {
      if (outputs[o].kind != network::Output::Kind::drop) continue;
      for (int step = -20; step <= 60; ++step) {
        std::vector<Gradient> in, out(outputs.size());
        for (const auto& input : inputs) {
          switch (input.kind) {
            case network::Input::Kind::flow: {
              const double m = circuit.flow(x, input.index) * 0.05 * step;
              in.push_back(input.index == outputs[o].index ? Gradient::variable(m, 0)
                                                           : Gradient(m));
              break;
            }
            case network::Input::Kind::inlet:
            case network::Input::Kind::node:
              in.emplace_back(296.15);
              break;
            case network::Input::Kind::state:
              in.emplace_back(x[static_cast<std::size_t>(circuit.state_row(input.index))]);
              break;
            case network::Input::Kind::aux:
              in.emplace_back(x[static_cast<std::size_t>(circuit.aux_row(input.index))]);
              break;
          }
        }
        element->evaluate(in.data(), out.data());
        const bool tank = element->name().find("tank") != std::string::npos;  // has no drop
        CAPTURE(step);
        if (tank) {
          CHECK(out[o].value == 0.0);
        } else {
          CHECK(out[o].slope[0] > 0.0);
        }
      }
    }
  }
}

}  // namespace

TEST_CASE("energy, flow and budget close for every example on every bench") {
  for (const Case& c : all_cases()) {
    CAPTURE(c.name);
    const Model model(c.cooler, c.bench);
    Solver solver(model);
    for (const double load : {90.0, 180.0, 270.0}) {
      for (const double fan : {1.0, 0.35}) {
        const OperatingPoint p =
            solver.solve({.load = load, .ambient = 296.15, .fan = fan, .pump = 1.0});
        REQUIRE(p.summary.usable);
        CHECK(p.summary.flow_residual < 1e-10);
        CHECK(p.energy_residual < 1e-9);
        double sum = 0.0;
        for (std::size_t i = 0; i < budget_rows.size(); ++i) {
          sum += p.budget[i];
          if (budget_rows[i].key != "sensor") CHECK(p.budget[i] > -1e-9);
        }
        CHECK(sum == doctest::Approx(p[Answer::rise]).epsilon(1e-10));
      }
    }
  }
}

TEST_CASE("more load is hotter, faster fans and pump are not") {
  for (const Case& c : some_cases()) {
    CAPTURE(c.name);
    const Model model(c.cooler, c.bench);
    Solver solver(model);
    const auto rise = [&](double load, double fan, double pump) {
      const OperatingPoint p = solver.solve({load, 296.15, 0.0, fan, pump});
      REQUIRE(p.summary.usable);
      return p[Answer::rise];
    };
    double last = rise(0.0, 1.0, 1.0);
    for (const double load : {60.0, 120.0, 180.0, 240.0, 300.0}) {
      const double next = rise(load, 1.0, 1.0);
      CHECK(next > last);
      last = next;
    }
    last = rise(180.0, 0.1, 1.0);
    for (const double fan : {0.2, 0.35, 0.5, 0.7, 0.85, 1.0, 1.2}) {
      const double next = rise(180.0, fan, 1.0);
      CHECK(next < last);
      last = next;
    }
    // The pump's own heat may outweigh the last bit of flow: allow what it adds.
    last = rise(180.0, 1.0, 0.2);
    for (const double pump : {0.3, 0.5, 0.7, 0.85, 1.0, 1.2}) {
      const double next = rise(180.0, 1.0, pump);
      const double own_heat = 4.0 * pump * pump;  // W, most of one step
      CHECK(next < last + 0.1 * own_heat);
      last = next;
    }
  }
}

TEST_CASE("the drop of every element rises with flow over its whole range") {
  for (const Case& c : some_cases()) {
    CAPTURE(c.name);
    Solver solver(Model(c.cooler, c.bench));
    solver.solve(usual);
    for (const auto& element : solver.circuit().elements()) CHECK_FALSE(element->rising());
    check_drops_rise(solver);
  }
}

TEST_CASE("so it does for drawn values, wherever an element does not say that it may turn") {
  for (const Case& c : some_cases()) {
    CAPTURE(c.name);
    const Model model(c.cooler, c.bench);
    Solver solver(model);
    for (unsigned long long seed = 1; seed <= 20; ++seed) {
      CAPTURE(seed);
      if (solver.solve_at(libloop::testing::draw(model, usual, seed)).summary.usable) {
        check_drops_rise(solver);
      }
    }
  }
}

TEST_CASE("the steady answer does not depend on the number of cells") {
  for (const Case& c : some_cases()) {
    CAPTURE(c.name);
    Solver one(Model(c.cooler, c.bench, 1));
    const OperatingPoint coarse = one.solve(usual);
    for (const int cells : {2, 7, 64}) {
      Solver many(Model(c.cooler, c.bench, cells));
      const OperatingPoint fine = many.solve(usual);
      REQUIRE(fine.summary.usable);
      for (const AnswerRow& row : answer_rows) {
        CHECK(fine[row.answer] == doctest::Approx(coarse[row.answer]).epsilon(1e-10));
      }
    }
  }
}

TEST_CASE("linearised at its operating point every cooler decays") {
  for (const Case& c : all_cases()) {
    CAPTURE(c.name);
    Solver solver(Model(c.cooler, c.bench));
    const OperatingPoint p = solver.solve(usual);
    REQUIRE(p.summary.usable);
    REQUIRE(p.leakage_gain < 1.0);
    const std::vector<double> a = solver.linearise();
    const auto n = static_cast<Eigen::Index>(solver.states().size());
    const Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>>
        matrix(a.data(), n, n);
    CHECK(matrix.eigenvalues().real().maxCoeff() < 0.0);
  }
}

TEST_CASE("slopes of every answer by every quantity equal differences of solves") {
  for (const Case& c : some_cases()) {
    CAPTURE(c.name);
    const Model model(c.cooler, c.bench);
    Solver solver(model);
    const Duty duty{.load = 270.0, .ambient = 296.15, .altitude = 300.0, .fan = 0.8, .pump = 0.9};
    REQUIRE(solver.solve(duty).summary.usable);
    const Slopes slopes = solver.slopes();
    const std::vector<double> values = model.typical(duty);
    for (std::size_t q = 0; q < values.size(); ++q) {
      const Quantity& quantity = model.quantities()[q];
      const std::string& name = quantity.name;
      CAPTURE(name);
      // Fourth-order differences; quantities at zero take a step of their own size.
      const double size = values[q] != 0.0          ? std::abs(values[q])
                          : !quantity.range.exact() ? quantity.range.high - quantity.range.low
                                                    : std::min(1e-4, 1e-3 * quantity.row->max);
      const double h = 3e-4 * size;
      const auto at = [&](double step) {
        std::vector<double> moved = values;
        moved[q] += step;
        return solver.solve_at(moved);
      };
      const OperatingPoint a = at(-2 * h), b = at(-h), d = at(h), e = at(2 * h);
      for (const AnswerRow& row : answer_rows) {
        const double difference =
            (a[row.answer] - 8 * b[row.answer] + 8 * d[row.answer] - e[row.answer]) / (12 * h);
        const double slope = slopes.at(row.answer, q);
        // To rounding: 1e-6 of the slope, or of the answer over the quantity's size.
        const double scale = std::max(std::abs(slope), 1e-3 * std::abs(d[row.answer]) / size);
        CAPTURE(row.key);
        CAPTURE(slope);
        CAPTURE(difference);
        // Differences of larger loops, solved to 1e-10, err more.
        const double tolerance = c.cooler.network.empty() ? 1e-6 : 4e-6;
        CHECK(std::abs(slope - difference) <= tolerance * scale);
      }
    }
  }
}

TEST_CASE("no load, no fans and no pump have finite answers with a note") {
  for (const Case& c : some_cases()) {
    CAPTURE(c.name);
    const bool reference = c.bench.bench.choice("load_at") == "reference";
    Solver solver(Model(c.cooler, c.bench));
    const OperatingPoint cold = solver.solve({.load = 0.0});
    CHECK(cold.summary.usable);
    CHECK(has_note(cold, "no_load") == (cold.load == 0.0));
    for (const auto& [fan, pump, code] : {std::tuple{0.0, 1.0, "fan_stopped"},
                                          {1.0, 0.0, "pump_stopped"},
                                          {0.0, 0.0, "pump_stopped"}}) {
      for (const double load : {5.0, 180.0}) {
        const OperatingPoint p = solver.solve({load, 296.15, 0.0, fan, pump});
        if (reference && p.summary.reason == "runs_away") continue;
        REQUIRE(p.summary.usable);
        CHECK(p.energy_residual < 1e-9);
        for (const AnswerRow& row : answer_rows) CHECK(std::isfinite(p[row.answer]));
        CHECK(has_note(p, code));
      }
    }
  }
}

TEST_CASE("a chip that leaks too much runs away, whichever way the load is read") {
  Case c = some_cases().front();
  c.bench.set("chip.leakage_slope", "9 %");
  Solver hot(Model(c.cooler, c.bench));
  const OperatingPoint unstable = hot.solve({.load = 270.0});
  CHECK(unstable.summary.usable);
  CHECK(has_note(unstable, "runs_away"));
  const std::vector<double> a = hot.linearise();
  const auto n = static_cast<Eigen::Index>(hot.states().size());
  const Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>>
      matrix(a.data(), n, n);
  CHECK(matrix.eigenvalues().real().maxCoeff() > 0.0);

  c.bench.set("bench.load_at", "reference");
  Solver reference(Model(c.cooler, c.bench));
  const OperatingPoint none = reference.solve({.load = 270.0});
  CHECK_FALSE(none.summary.usable);
  CHECK(none.summary.reason == "runs_away");
  CHECK(none.leakage_gain >= 1.0);
}

TEST_CASE("a load at a reference temperature never takes the branch that cools") {
  Case c = some_cases()[1];
  c.bench.set("bench.load_at", "reference");
  for (const char* slope : {"0.1 %", "0.5 %", "1 %", "2 %", "3 %", "10 %"}) {
    c.bench.set("chip.leakage_slope", slope);
    Solver solver(Model(c.cooler, c.bench));
    double last = 0.0;
    for (const double load : {100.0, 180.0, 300.0, 900.0}) {
      CAPTURE(slope);
      CAPTURE(load);
      const OperatingPoint p = solver.solve({.load = load, .ambient = 296.15});
      if (!p.summary.usable) {
        CHECK((p.summary.reason == "runs_away" || p.summary.reason == "leakage_law"));
        continue;
      }
      CHECK(p[Answer::rise] > last);
      last = p[Answer::rise];
    }
  }
}

TEST_CASE("the same cooler in other units gives the same answer") {
  Case c = some_cases()[1];
  Solver metric(Model(c.cooler, c.bench));
  const OperatingPoint a = metric.solve(usual);
  c.cooler.set("radiator.thickness", "0.098425196850393706 ft");
  c.cooler.set("radiator.fin_density", "787.40157480314963 1/m");
  c.cooler.set("fan.free_flow", "77.1036890085834 cfm");
  c.cooler.set("fan.static_pressure", "1.9374608046580637 mmH2O");
  Solver imperial(Model(c.cooler, c.bench));
  const OperatingPoint b = imperial.solve(usual);
  for (const AnswerRow& row : answer_rows) {
    CHECK(a[row.answer] == doctest::Approx(b[row.answer]).epsilon(1e-9));
  }
}
