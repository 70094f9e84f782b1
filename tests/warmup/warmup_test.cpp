// What must hold for every warm-up, whatever the numbers.
#include "libloop/warmup/warmup.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/files/read.hpp"
#include "libloop/network/solve.hpp"
#include "libloop/part/catalogue.hpp"
#include "support/amount.hpp"
#include "support/coolers.hpp"

using namespace libloop;
using libloop::testing::Case;

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

constexpr Duty usual{.load = 180.0, .ambient = 296.15};

Model model_of(const Case& c) { return {c.cooler, c.bench, usual_cells}; }

Case example(const std::string& name) {
  for (const Case& c : testing::some_cases()) {
    if (c.name == name) return c;
  }
  throw std::logic_error(name);
}

// Loads by row, all else as in `usual`.
Profile loads(std::vector<double> times, std::vector<double> watts) {
  Profile p = steady(usual);
  for (std::vector<double>& column : p.values) column.assign(times.size(), column.front());
  p.values.front() = std::move(watts);
  p.times = std::move(times);
  return p;
}

// Whose flows, states, ... are those of the operating point once Newton has taken them there.
void check_settles(const Model& model, const Trajectory& t, const Duty& duty) {
  Solver solver(model);
  const OperatingPoint point = solver.solve(duty);
  REQUIRE(point.summary.usable);
  REQUIRE(t.summary().usable);
  CHECK(t.summary().reason == "converged");
  const network::Circuit& circuit = solver.circuit();
  std::vector<double> x = t.unknowns(t.end());
  const auto apart = [&] {
    double worst = 0.0;
    for (int s = 0; s < circuit.states(); ++s) {
      const std::size_t row = index(circuit.state_row(s));
      worst = std::max(worst, std::abs(x[row] - solver.unknowns()[row]));
    }
    return worst;
  };
  CHECK(apart() < 0.0051);
  network::SolveOptions options;
  options.load = duty.load;
  network::Evaluation work;
  REQUIRE(network::solve(circuit, options, x, work).usable);
  CHECK(apart() < 1e-6);
  CHECK(t.settled_value(Trace::rise) == doctest::Approx(point[Answer::rise]).epsilon(1e-8));
  CHECK(std::abs(t.at(Trace::rise, t.end()) - point[Answer::rise]) < 0.0051);
  const Energy e = t.energy(t.end());
  CHECK(e.in > 0.0);
  CHECK(std::abs(e.in - e.out - e.stored) <= 1e-6 * e.in);
}

}  // namespace

TEST_CASE("every example on every bench warms up to its operating point, and energy balances") {
  for (const Case& c : testing::quick_build ? testing::all_cases() : testing::some_cases()) {
    CAPTURE(c.name);
    const Model model = model_of(c);
    Warmup warmup(model);
    for (const Duty& duty : {usual, Duty{.load = 120.0, .ambient = 296.15, .fan = 0.5},
                             Duty{.load = 240.0, .ambient = 296.15, .pump = 0.6}}) {
      CAPTURE(duty.load);
      const Trajectory t = warmup.run(steady(duty));
      CAPTURE(t.summary().why);
      check_settles(model, t, duty);
    }
  }
}

TEST_CASE("who begins settled stays so, who comes from less load rises, from more falls") {
  for (const Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    Warmup warmup(model_of(c));
    WarmupOptions options;
    options.duration = 600.0;
    const Trajectory same = warmup.run(steady(usual), {usual}, options);
    REQUIRE(same.summary().usable);
    const double settled = same.settled_value(Trace::rise);
    Duty less = usual, more = usual;
    less.load = 60.0;
    more.load = 220.0;
    const Trajectory up = warmup.run(steady(usual), {less}, options);
    const Trajectory down = warmup.run(steady(usual), {more}, options);
    REQUIRE(up.summary().usable);
    REQUIRE(down.summary().usable);
    for (double t = 0.0; t <= 600.0; t += 25.0) {
      CHECK(std::abs(same.at(Trace::rise, t) - settled) < 1e-3);
      CHECK(up.at(Trace::rise, t) < settled + 1e-2);
      CHECK(down.at(Trace::rise, t) > settled - 1e-2);
    }
    CHECK(up.at(Trace::rise, 0.0) < 0.6 * settled);
    CHECK(up.at(Trace::rise, 60.0) > up.at(Trace::rise, 10.0));
    CHECK(down.at(Trace::rise, 60.0) < down.at(Trace::rise, 0.0));
  }
}

TEST_CASE("with the load off it cools to what the pump alone warms it") {
  for (const Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    if (c.bench.bench.choice("load_at") == "reference") continue;
    const Model model = model_of(c);
    Warmup warmup(model);
    Duty off = usual;
    off.load = 0.0;
    const Trajectory t = warmup.run(steady(off), {usual});
    CAPTURE(t.summary().why);
    check_settles(model, t, off);
    CHECK(t.settled_value(Trace::rise) < 0.5 * t.at(Trace::rise, 0.0));
    CHECK(t.energy(t.end()).stored < 0.0);
  }
}

TEST_CASE("a step in a profile is two warm-ups joined") {
  for (const char* name : {"dense-280", "deep-360", "custom-loop", "case-mesh"}) {
    CAPTURE(name);
    Warmup warmup(model_of(example(name)));
    Duty low = usual;
    low.load = 90.0;
    WarmupOptions options;
    options.tolerance = 1e-6;
    options.duration = 500.0;
    const Trajectory joined =
        warmup.run(loads({0.0, 200.0, 200.0}, {90.0, 90.0, 180.0}), {low}, options);
    options.duration = 300.0;
    const Trajectory second = warmup.run(steady(usual), {low}, options);
    REQUIRE(joined.summary().usable);
    REQUIRE(second.summary().usable);
    CHECK(joined.last_change() == 200.0);
    CHECK(joined.end() == doctest::Approx(500.0).epsilon(1e-12));
    for (const double t : {0.5, 2.0, 10.0, 50.0, 150.0, 300.0}) {
      CHECK(joined.at(Trace::rise, 200.0 + t) ==
            doctest::Approx(second.at(Trace::rise, t)).epsilon(2e-5));
      CHECK(joined.at(Trace::coolant_rise, 200.0 + t) ==
            doctest::Approx(second.at(Trace::coolant_rise, t)).epsilon(2e-5));
    }
    // A row between that changes nothing changes nothing.
    options.duration = 400.0;
    const Trajectory plain = warmup.run(steady(usual), {}, options);
    const Trajectory rows =
        warmup.run(loads({0.0, 33.0, 120.0}, {180.0, 180.0, 180.0}), {}, options);
    for (const double t : {1.0, 20.0, 33.0, 90.0, 121.0, 400.0}) {
      CHECK(rows.at(Trace::rise, t) == doctest::Approx(plain.at(Trace::rise, t)).epsilon(2e-5));
    }
  }
}

TEST_CASE("a ramp is followed as exactly as a load that stays") {
  Warmup warmup(model_of(example("dense-280")));
  const Profile ramp = loads({0.0, 120.0, 180.0}, {20.0, 220.0, 100.0});
  WarmupOptions options;
  options.duration = 300.0;
  options.tolerance = 1e-8;
  const Trajectory best = warmup.run(ramp, {}, options);
  for (const double tolerance : {1e-3, 1e-4, 1e-5}) {
    options.tolerance = tolerance;
    const Trajectory t = warmup.run(ramp, {}, options);
    double worst = 0.0;
    for (double at = 0.0; at <= 300.0; at += 1.0) {
      const double rise = best.at(Trace::rise, at);
      worst = std::max(worst, std::abs(t.at(Trace::rise, at) - rise) / (1.0 + rise));
    }
    CAPTURE(tolerance);
    CHECK(worst < 10.0 * tolerance);
    // A stepper of order four takes few steps.
    CAPTURE(t.steps().size());
    CHECK(t.steps().size() < 60.0 * std::pow(1e-3 / tolerance, 0.25) * 1.5);
  }
}

TEST_CASE("a ramp that is slow against the slowest mode follows settled points") {
  Case c = example("dense-280");
  // Between two rows, leakage counts from temperatures that move evenly: nearly those at rest.
  for (const char* slope : {"0.6 %", "0 %"}) {
    c.bench.set("chip.leakage_slope", slope);
    const Model model = model_of(c);
    Warmup warmup(model);
    Solver solver(model);
    const auto behind = [&](double seconds) {
      const Trajectory t = warmup.run(loads({0.0, seconds}, {100.0, 200.0}),
                                      {Duty{.load = 100.0, .ambient = 296.15}});
      REQUIRE(t.summary().usable);
      Duty middle = usual;
      middle.load = 150.0;
      return solver.solve(middle)[Answer::rise] - t.at(Trace::rise, 0.5 * seconds);
    };
    const double slow = behind(2e4), slower = behind(2e5);
    CAPTURE(slope);
    CAPTURE(slow);
    CAPTURE(slower);
    CHECK(std::abs(slow) < 0.1);
    CHECK(std::abs(slower) < 0.02);
    if (slope[1] == '.') continue;
    CHECK(slow > 0.0);
    CHECK(slower == doctest::Approx(0.1 * slow).epsilon(0.1));
  }
}

TEST_CASE("a chip that leaks gives off less while it is cold") {
  Case c = example("dense-280");
  for (const char* at : {"hot", "reference"}) {
    CAPTURE(at);
    c.bench.set("bench.load_at", at);
    const Model model = model_of(c);
    Warmup warmup(model);
    const Trajectory t = warmup.run(steady(usual));
    check_settles(model, t, usual);
    const OperatingPoint point = Solver(model).solve(usual);
    CHECK(t.settled_value(Trace::load) == doctest::Approx(point.heat_in).epsilon(1e-9));
    CHECK(t.at(Trace::load, t.end()) == doctest::Approx(point.heat_in).epsilon(1e-4));
    CHECK(t.at(Trace::load, 0.0) < 0.98 * point.heat_in);
    CHECK(t.at(Trace::load, 20.0) > t.at(Trace::load, 0.0));
  }
  c.bench.set("bench.load_at", "hot");
  c.bench.set("chip.leakage_slope", "0 %");
  Warmup warmup(model_of(c));
  const Trajectory t = warmup.run(steady(usual));
  CHECK(t.at(Trace::load, 0.0) == doctest::Approx(t.settled_value(Trace::load)).epsilon(1e-6));
}

TEST_CASE("a row of fans named in a profile stops alone") {
  const Case c = example("push-pull-280");
  const Model model = model_of(c);
  Warmup warmup(model);
  Profile p = steady(usual);
  for (std::vector<double>& column : p.values) column.assign(3, column.front());
  p.times = {0.0, 200.0, 200.0};
  p.names.emplace_back("fan.back.speed_share");
  p.values.push_back({1.0, 1.0, 0.0});
  const Trajectory t = warmup.run(p);
  CAPTURE(t.summary().why);
  REQUIRE(t.summary().usable);
  std::vector<double> values = model.typical(usual);
  Solver solver(model);
  const OperatingPoint both = solver.solve_at(values);
  values[model.index("fan.back.speed_share")] = 0.0;
  const OperatingPoint one = solver.solve_at(values);
  REQUIRE(one.summary.usable);
  CHECK(t.at(Trace::air_flow, 100.0) == doctest::Approx(both[Answer::air_flow]).epsilon(0.02));
  CHECK(t.at(Trace::air_flow, t.end()) == doctest::Approx(one[Answer::air_flow]).epsilon(1e-4));
  CHECK(std::abs(t.at(Trace::rise, t.end()) - one[Answer::rise]) < 0.0051);
  CHECK(one[Answer::rise] > both[Answer::rise] + 0.5);
}

TEST_CASE("stored heat is that of all capacities, and traces are those of the unknowns") {
  for (const char* name : {"dense-280", "push-pull-280", "custom-loop"}) {
    CAPTURE(name);
    const Model model = model_of(example(name));
    Warmup warmup(model);
    WarmupOptions options;
    options.tolerance = 1e-6;
    const Trajectory t = warmup.run(steady(usual), {}, options);
    REQUIRE(t.summary().usable);
    Solver solver(model);
    solver.solve(usual);
    const network::Circuit& circuit = solver.circuit();
    network::Evaluation work;
    double stored = 0.0;
    std::vector<double> last = t.unknowns(0.0);
    const std::vector<double>& steps = t.steps();
    constexpr int parts = 4;
    for (std::size_t i = 1; i < steps.size(); ++i) {
      for (int k = 1; k <= parts; ++k) {
        const double end = steps[i - 1] + (steps[i] - steps[i - 1]) * k / parts;
        const double middle = end - 0.5 * (steps[i] - steps[i - 1]) / parts;
        circuit.evaluate(t.unknowns(middle), network::Slopes::none, work);
        const std::vector<double> now = t.unknowns(end);
        for (int s = 0; s < circuit.states(); ++s) {
          const std::size_t row = index(circuit.state_row(s));
          stored += work.capacity[index(s)] * (now[row] - last[row]);
        }
        last = now;
      }
    }
    CHECK(t.energy(t.end()).stored == doctest::Approx(stored).epsilon(1e-5));
    CHECK(t.energy(0.0).in == 0.0);
    CHECK(t.rate(Trace::load, t.end() + 1.0) == 0.0);
  }
}

TEST_CASE("what is left by too few cells falls as one over their number") {
  const Case c = example("dense-280");
  const auto rise = [&](int cells) {
    Warmup warmup(Model(c.cooler, c.bench, cells));
    WarmupOptions options;
    options.tolerance = 1e-7;
    options.duration = 60.0;
    return warmup.run(steady(usual), {}, options).at(Trace::rise, 30.0);
  };
  const double a = rise(4), b = rise(8), d = rise(16);
  CHECK(std::abs(a - b) < 0.2);
  CHECK((a - b) / (b - d) > 1.5);
  CHECK((a - b) / (b - d) < 3.0);
}

TEST_CASE("a ramp from no load leaks as one from next to none") {
  const Case c = example("dense-280");
  const auto at_half = [&](double first) {
    Warmup warmup(model_of(c));
    WarmupOptions options;
    options.duration = 900.0;
    const Profile ramp{{"conditions.load", "conditions.ambient"},
                       {0.0, 600.0},
                       {{first, 180.0}, {296.15, 296.15}}};
    return warmup.run(ramp, {}, options).at(Trace::rise, 300.0);
  };
  CHECK(at_half(0.0) == doctest::Approx(at_half(1e-3)).epsilon(1e-4));
}

TEST_CASE("options, values and profiles out of bounds are refused") {
  const Case c = example("dense-280");
  const Model model = model_of(c);
  Warmup warmup(model);
  const Profile plain = steady(usual);
  for (const auto& spoil :
       std::vector<void (*)(WarmupOptions&)>{[](WarmupOptions& o) { o.tolerance = -1e-4; },
                                             [](WarmupOptions& o) { o.duration = std::nan(""); },
                                             [](WarmupOptions& o) { o.duration = 1e12; },
                                             [](WarmupOptions& o) { o.settled_within = 0.0; }}) {
    WarmupOptions options;
    spoil(options);
    CHECK_THROWS_AS(warmup.run(plain, {}, options), InputError);
  }
  CHECK_THROWS_AS(warmup.run_at({1.0, 2.0}, plain), InputError);
  Profile twice = plain;
  twice.names.push_back("conditions.load");
  twice.values.push_back({100.0});
  CHECK_THROWS_AS(warmup.run(twice), InputError);
  CHECK_THROWS_AS(warmup.run({{"radiator.thickness"}, {0.0}, {{0.03}}}), InputError);
}

TEST_CASE("a warm-up without a course is not read") {
  const Case c = example("dense-280");
  Warmup warmup(model_of(c));
  const Trajectory t = warmup.run(steady({.load = 180.0, .ambient = 296.15, .pump = 0.0}));
  REQUIRE_FALSE(t.summary().usable);
  CHECK_THROWS_AS(t.at(Trace::rise, 1.0), InputError);
  CHECK_THROWS_AS(t.energy(1.0), InputError);
}

TEST_CASE("limits that pass are told: during a soak, and before a step") {
  const Case c = example("dense-280");
  const auto passes = [&](const Profile& profile, const Start& start) {
    Warmup warmup(model_of(c));
    for (const Note& note : warmup.run(profile, start).notes()) {
      if (note.code == "chip_limit") return note.when;
    }
    return std::string();
  };
  const Duty hot{.load = 700.0, .ambient = 296.15}, cool{.load = 40.0, .ambient = 296.15};
  CHECK(passes(steady(cool), {}).empty());
  CHECK(passes(steady(cool), {hot}) == "during the soak");
  const Profile step{{"conditions.load"}, {0.0, 1800.0, 1800.0}, {{700.0, 700.0, 40.0}}};
  CHECK(passes(step, {}) == "on the way, after 30 min");
}

TEST_CASE("what has no end says why, and ends") {
  Case c = example("dense-280");
  c.bench.set("chip.leakage_slope", "9 %");
  Warmup away(model_of(c));
  const Trajectory never = away.run(steady({.load = 270.0, .ambient = 296.15}));
  CHECK_FALSE(never.summary().usable);
  CHECK(never.summary().reason == "runs_away");
  CHECK_FALSE(never.summary().why.empty());
  WarmupOptions options;
  options.duration = 36000.0;
  c.bench.set("bench.load_at", "reference");
  Warmup cold(model_of(c));
  CHECK(cold.run(steady({.load = 270.0, .ambient = 296.15}), {}, options).summary().reason ==
        "leakage_law");
  c.bench.set("chip.leakage_slope", "2.5 %");
  Warmup reference(model_of(c));
  const Trajectory hot = reference.run(steady({.load = 270.0, .ambient = 296.15}), {}, options);
  CHECK_FALSE(hot.summary().usable);
  CHECK(hot.summary().reason == "beyond_sense");
  CHECK_FALSE(hot.summary().why.empty());
  CHECK(hot.end() < 36000.0);
  CHECK_THROWS_AS(reference.run({}), InputError);
  const Duty hotter{.load = -1.0};
  CHECK_THROWS_AS(reference.run(steady(hotter)), InputError);
}
