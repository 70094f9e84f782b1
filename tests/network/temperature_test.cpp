// Temperatures of nodes, cycles of air, reversal, and slopes.
#include <doctest/doctest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "libloop/network/linear.hpp"
#include "network/thermal_elements.hpp"

using namespace libloop;
using namespace libloop::network;
using namespace libloop::testing;

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

struct Point {
  std::vector<double> x;
  Evaluation work;
  Summary summary;
};

Point solved(const Circuit& c, double load = 100.0) {
  Point p;
  p.x = c.start(305.0);
  SolveOptions options;
  options.load = load;
  nudge_flows(c, p.x, p.work);
  p.summary = solve(c, options, p.x, p.work);
  return p;
}

// The matrix of loops, row by row, from the places.
std::vector<std::vector<double>> jacobian(const Circuit& c, std::span<const double> x) {
  Evaluation work;
  c.evaluate(x, Slopes::by_unknown, work);
  const std::size_t n = index(c.unknowns());
  std::vector<std::vector<double>> matrix(n, std::vector<double>(n, 0.0));
  for (const Scatter& s : c.plan().scatter_all) {
    matrix[index(s.target) % n][index(s.target) / n] += s.sign * work.slope[index(s.place)];
  }
  return matrix;
}

void check_jacobian(const Circuit& c, const std::vector<double>& x, double flow_step,
                    double tolerance) {
  const std::vector<std::vector<double>> exact = jacobian(c, x);
  for (int j = 0; j < c.unknowns(); ++j) {
    const double h = j < c.loops() ? flow_step : 1e-3;
    Evaluation up, down;
    std::vector<double> moved = x;
    moved[index(j)] = x[index(j)] + h;
    c.evaluate(moved, Slopes::none, up);
    moved[index(j)] = x[index(j)] - h;
    c.evaluate(moved, Slopes::none, down);
    for (int i = 0; i < c.unknowns(); ++i) {
      const double difference = (up.residual[index(i)] - down.residual[index(i)]) / (2.0 * h);
      double scale = 1e-3;
      const double rounding = 2e-12 / h;
      for (const double entry : exact[index(i)]) scale = std::max(scale, std::abs(entry));
      CAPTURE(i);
      CAPTURE(j);
      CAPTURE(c.name(i));
      CAPTURE(c.name(j));
      CHECK(std::abs(exact[index(i)][index(j)] - difference) <= tolerance * scale + rounding);
    }
  }
}

}  // namespace

TEST_CASE("slopes agree with differences on random circuits, forwards and backwards") {
  for (unsigned seed = 0; seed < 30; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Circuit c = random_heat_circuit(dice, 3 + dice.below(4));
    REQUIRE(c.plan().dense);
    std::vector<double> x = c.start(300.0);
    for (int i = 0; i < c.unknowns(); ++i) {
      if (i < c.loops()) x[index(i)] = dice.uniform(-0.05, 0.05);
      if (i >= c.loops() && i < c.aux_row(0)) x[index(i)] = dice.uniform(290.0, 340.0);
      if (i >= c.aux_row(2)) x[index(i)] = dice.uniform(290.0, 340.0);
    }
    check_jacobian(c, x, 1e-8, 1e-5);
    // Where air turns round.
    for (int i = 0; i < c.loops(); ++i) x[index(i)] = dice.uniform(-5e-9, 5e-9);
    check_jacobian(c, x, 1e-12, 1e-4);
  }
}

namespace {

void check_forms(const Circuit& c, std::span<const double> x, Dice& dice) {
  Evaluation work;
  c.evaluate(x, Slopes::by_unknown, work);
  const auto random = [&](std::size_t count) {
    std::vector<double> values(count);
    for (double& v : values) v = dice.uniform(-1.0, 1.0);
    return values;
  };
  const auto compare = [](const std::vector<double>& a, const std::vector<double>& b) {
    REQUIRE(a.size() == b.size());
    double most = 0.0;
    for (const double v : a) most = std::max(most, std::abs(v));
    for (std::size_t i = 0; i < a.size(); ++i) CHECK(std::abs(a[i] - b[i]) <= 1e-6 * most);
  };
  for (const Linear::Part part : {Linear::Part::flows, Linear::Part::all}) {
    Linear dense(c, part, Linear::Form::dense), sparse(c, part, Linear::Form::sparse);
    CHECK(dense.factor(work.slope));
    CHECK(sparse.factor(work.slope));
    const bool flows = part == Linear::Part::flows;
    const std::vector<double> right = random(index(flows ? c.loops() : c.unknowns()));
    compare(dense.solve(right), sparse.solve(right));
    const std::vector<double> rows = random(flows ? c.branches().size() : index(c.plan().rows));
    compare(dense.solve_wide(rows), sparse.solve_wide(rows));
    compare(dense.solve_transposed(rows), sparse.solve_transposed(rows));
  }
}

}  // namespace

TEST_CASE("dense and sparse equations give the same steps and weights") {
  for (unsigned seed = 0; seed < 30; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Circuit c = random_heat_circuit(dice, 3 + dice.below(5));
    check_forms(c, solved(c).x, dice);
  }
  // A bundle, whose nodes have long rows.
  HeatBuilder h;
  const int a = h.c.add_node(h.coolant), b = h.c.add_node(h.coolant);
  h.cell(a, b, h.wall(), {5e4, 20.0, 10.0, 1e4});
  for (int i = 0; i < 100; ++i) h.cell(b, a, h.wall(), {5e4, 20.0, 10.0, 0.0});
  const Circuit bundle = h.done();
  Dice dice(1);
  check_forms(bundle, bundle.start(300.0), dice);
}

TEST_CASE("heat balances: what is put in leaves by walls and air") {
  for (unsigned seed = 0; seed < 40; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Circuit c = random_heat_circuit(dice, 3 + dice.below(6));
    const Point p = solved(c);
    CAPTURE(p.summary.reason);
    REQUIRE(p.summary.usable);
    const std::vector<double> t = c.temperatures(p.x, p.work);
    double out = p.work.answer[0] + p.work.answer[2];  // walls, and the case's
    for (std::size_t b = 0; b < c.branches().size(); ++b) {
      const Branch& branch = c.branches()[b];
      for (const double end : {-1.0, 1.0}) {
        const std::size_t node = index(end < 0.0 ? branch.from : branch.to);
        if (!c.nodes()[node].given) continue;
        const double m = end * p.work.flow[b], size = carrying_flow(m);
        out += 0.5 * air_heat * ((size + m) * p.work.outlet[b] - (size - m) * t[node]);
      }
    }
    // The cells' own powers: heat given to coolant is what cells do not store.
    double cells = 0.0;
    for (const auto& element : c.elements()) {
      if (element->name() != "cell") continue;
      std::vector<double> at_rest{0.0, 0.0, 300.0, 300.0}, values(element->outputs().size());
      element->evaluate(at_rest.data(), values.data());
      cells += values[2];
    }
    CHECK(out == doctest::Approx(heat_values()[1] + cells).epsilon(1e-9));
  }
}

TEST_CASE("a node mixes what flows in, whichever way its branches point") {
  Circuit c(0);
  const int cold = c.add_aux("cold", 300.0), warm = c.add_aux("warm", 300.0);
  c.add(adapt("cold", {}, {{Output::Kind::define, cold}}, {0}, Outside{}));
  c.add(adapt("warm", {}, {{Output::Kind::define, warm}}, {1}, Outside{}));
  const int air = c.add_stream({"air", false, -1, air_heat});
  const int from_cold = c.add_node(air, Input{Input::Kind::aux, cold}, "cold");
  const int from_warm = c.add_node(air, Input{Input::Kind::aux, warm}, "warm");
  const int meeting = c.add_node(air, "meeting");
  const auto way = [&](int from, int to, double rise) {
    const int b = c.add_branch({air, from, to, nowhere, nowhere, 0.01, "way"});
    c.add(adapt("way", {{Input::Kind::flow, b}, {Input::Kind::inlet, b}},
                {{Output::Kind::drop, b}, {Output::Kind::outlet, b}}, {}, AirWay{500.0, rise}));
    return index(b);
  };
  const std::size_t first = way(from_cold, meeting, 10.0);
  const std::size_t second = way(meeting, from_warm, -20.0);  // described backwards
  way(meeting, from_cold, 0.0);
  way(from_warm, from_cold, 0.0);
  c.close();
  c.prepare(std::vector<double>{300.0, 320.0});
  const Point p = solved(c);
  REQUIRE(p.summary.usable);
  const double a = p.work.flow[first], b = -p.work.flow[second];
  CHECK(a > 0.0);
  CHECK(b > 0.0);
  CHECK(c.temperatures(p.x, p.work)[index(meeting)] ==
        doctest::Approx((300.0 * a + 320.0 * b) / (a + b)).epsilon(1e-11));
}

TEST_CASE("air that is drawn and given back in a case warms it up") {
  // A fan blows through a core in the case and back into it; a gap lets some air in and
  // out. All heat leaves through the case's walls and the gap's air.
  HeatBuilder h;
  const int wall = h.wall();
  const int a = h.c.add_node(h.coolant), b = h.c.add_node(h.coolant);
  h.cell(a, b, wall, {5e4, 60.0, 100.0, 5e3});
  h.cell(b, a, wall, {5e4, 60.0, 0.0, 0.0});
  const int box = h.c.add_node(h.air, "case"), plenum = h.c.add_node(h.air, "plenum");
  h.way(box, plenum, {500.0, 30.0});
  h.core(plenum, box, wall, {500.0, 30.0, 0.0});
  h.way(h.open, box, {500.0, 5.0});
  h.way(box, h.open, {500.0, 0.0});
  h.box(box);
  Circuit c = h.done();
  const Point p = solved(c);
  REQUIRE(p.summary.usable);
  const double inside = c.temperatures(p.x, p.work)[index(box)];
  const double through = p.work.flow[5] * air_heat * (inside - 300.0);
  CHECK(through + p.work.answer[0] + p.work.answer[2] == doctest::Approx(140.0).epsilon(1e-8));
  CHECK(inside > 301.0);
  CHECK(p.work.answer[1] == doctest::Approx(inside).epsilon(1e-12));

  // Slopes of the case's temperature by its own heat, its wall and the air outside.
  Evaluation work;
  const std::vector<double> slopes = answer_slopes(c, p.x, work);

  for (int q = 0; q < heat_quantities; ++q) {
    const double step = q == 2 ? 1e-4 : 1e-2;
    double difference = 0.0;
    for (const double sign : {1.0, -1.0}) {
      std::vector<double> values = heat_values();
      values[index(q)] += sign * step;
      c.prepare(values);
      std::vector<double> x = p.x;
      SolveOptions options;
      options.load = 100.0;
      Evaluation at;
      CHECK(solve(c, options, x, at).usable);
      difference += sign * at.answer[1] / (2.0 * step);
    }
    CHECK(slopes[1 * heat_quantities + index(q)] == doctest::Approx(difference).epsilon(1e-5));
  }
  c.prepare(heat_values());

  // The steady response to heat is what the warm-up's linear system comes to rest at.
  const int states[] = {wall, wall + 1};
  const std::vector<double> extra(index(c.states()), -0.1);
  const std::vector<double> response = heat_response(c, p.x, states, extra);
  const std::vector<double> a_matrix = linearise(c, p.x, extra);
  const int n = c.states();
  const Eigen::Map<const Eigen::Matrix<double, -1, -1, Eigen::RowMajor>> rate(a_matrix.data(), n,
                                                                              n);
  for (int j = 0; j < 2; ++j) {
    Eigen::VectorXd heating = Eigen::VectorXd::Zero(n);
    heating[states[j]] = 1.0 / p.work.capacity[index(states[j])];
    const Eigen::VectorXd rise = rate.partialPivLu().solve(-heating);
    for (int i = 0; i < 2; ++i) {
      CHECK(response[index(2 * i + j)] == doctest::Approx(rise[states[i]]).epsilon(1e-8));
      CHECK(response[index(2 * i + j)] > 0.0);
    }
  }
}

TEST_CASE("a case without moving air is warmed through its walls alone") {
  HeatBuilder h;
  const int box = h.c.add_node(h.air, "case");
  h.way(h.open, box, {500.0, 0.0});
  h.way(box, h.open, {500.0, 0.0});
  h.box(box);
  // The coolant's specific heat needs a cell to be defined.
  const int wall = h.wall(), a = h.c.add_node(h.coolant), b = h.c.add_node(h.coolant);
  h.cell(a, b, wall, {5e4, 60.0, 0.0, 5e3});
  h.cell(b, a, wall, {5e4, 60.0, 0.0, 0.0});
  const Circuit c = h.done();
  const Point p = solved(c);
  CAPTURE(p.summary.reason);
  REQUIRE(p.summary.usable);
  CHECK(p.work.answer[1] == doctest::Approx(300.0 + 40.0 / 1.5).epsilon(1e-6));
}

TEST_CASE("turning all fans and branches round changes nothing") {
  const auto build = [](bool turned) {
    HeatBuilder h;
    const int wall = h.wall(), other = h.wall();
    const int a = h.c.add_node(h.coolant), b = h.c.add_node(h.coolant), d = h.c.add_node(h.coolant);
    const auto cell = [&](int from, int to, int w, Cell law) {
      if (turned) law.rise = -law.rise;
      h.cell(turned ? to : from, turned ? from : to, w, law);
    };
    cell(a, b, wall, {5e4, 60.0, 100.0, 5e3});
    cell(b, d, wall, {8e4, 20.0, 0.0, 0.0});
    cell(b, d, other, {4e4, 30.0, 10.0, 0.0});
    cell(d, a, other, {5e4, 60.0, 0.0, 0.0});
    const int box = h.c.add_node(h.air, "case"), plenum = h.c.add_node(h.air, "plenum");
    const auto way = [&](int from, int to, AirWay law) {
      if (turned) law.rise = -law.rise;
      h.way(turned ? to : from, turned ? from : to, law);
    };
    way(h.open, plenum, {500.0, 30.0});
    h.core(turned ? box : plenum, turned ? plenum : box, wall, {500.0, 30.0, 0.0});
    way(box, h.open, {500.0, 0.0});
    way(box, plenum, {900.0, 10.0});
    h.core(turned ? h.open : box, turned ? box : h.open, other, {500.0, 10.0, 0.0});
    h.box(box);
    return h.done();
  };
  const Circuit straight = build(false), turned = build(true);
  const Point p = solved(straight), q = solved(turned);
  REQUIRE(p.summary.usable);
  REQUIRE(q.summary.usable);
  for (std::size_t b = 0; b < p.work.flow.size(); ++b) {
    CHECK(p.work.flow[b] == doctest::Approx(-q.work.flow[b]).epsilon(1e-9));
  }
  for (int s = 0; s < straight.states(); ++s) {
    CHECK(p.x[index(straight.state_row(s))] ==
          doctest::Approx(q.x[index(turned.state_row(s))]).epsilon(1e-11));
  }
  const std::vector<double> t = straight.temperatures(p.x, p.work);
  const std::vector<double> u = turned.temperatures(q.x, q.work);
  for (std::size_t n = 0; n < t.size(); ++n) CHECK(t[n] == doctest::Approx(u[n]).epsilon(1e-11));
}

TEST_CASE("a large circuit is solved as a small one is") {
  Dice dice(7);
  const Circuit c = random_heat_circuit(dice, 60);
  CHECK_FALSE(c.plan().dense);
  const Point p = solved(c, 1000.0);
  CAPTURE(p.summary.reason);
  CHECK(p.summary.usable);
}

TEST_CASE("descriptions that contradict themselves are refused") {
  Circuit twice(0);
  const int air = twice.add_stream({"air"});
  const int a = twice.add_node(air, "a"), b = twice.add_node(air, "b");
  const int branch = add_branch(twice, air, a, b);
  for (int i = 0; i < 2; ++i) {
    twice.add(adapt("way", {{Input::Kind::flow, branch}, {Input::Kind::inlet, branch}},
                    {{Output::Kind::drop, branch}, {Output::Kind::outlet, branch}}, {}, AirWay{}));
  }
  CHECK_THROWS_AS(twice.close(), std::logic_error);

  Circuit asked(1);
  const int stream = asked.add_stream({"air"});
  const int cold = asked.add_node(stream, "cold");
  add_law(asked, stream, cold, cold, Pipe{});
  asked.add(adapt("case", {{Input::Kind::node, cold}, {Input::Kind::node, cold}},
                  {{Output::Kind::answer, 0}, {Output::Kind::answer, 0}, {Output::Kind::answer, 0}},
                  {0, 1}, CaseAir{}));
  CHECK_THROWS_AS(asked.close(), std::logic_error);
}
