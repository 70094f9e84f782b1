// Flows at given temperatures: published networks, identities, convergence.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "network/elements.hpp"
#include "support/published.hpp"

using namespace libloop;
using namespace libloop::network;
using namespace libloop::testing;

namespace {

struct Solved {
  std::vector<double> flow, pressure;
  Summary summary;
};

Solved solved(const Circuit& c, double start = 0.0) {
  std::vector<double> x(static_cast<std::size_t>(c.unknowns()), start);
  Evaluation work;
  Solved s;
  s.summary = solve_flows(c, {}, x, work);
  s.flow = c.flows(x);
  s.pressure = c.pressures(work);
  return s;
}

void same(const std::vector<double>& a, const std::vector<double>& b, double scale,
          double relative) {
  REQUIRE(a.size() == b.size());
  for (std::size_t i = 0; i < a.size(); ++i) CHECK(std::abs(a[i] - b[i]) <= relative * scale);
}

double largest(const std::vector<double>& values) {
  double most = 0.0;
  for (const double v : values) most = std::max(most, std::abs(v));
  return most;
}

constexpr const char* white =
    "White, Fluid Mechanics, pipe networks, known through a transcription";
constexpr const char* white_memory = "White, Fluid Mechanics, pipes in series, from memory";

// Three pipes of White's chapter on several pipes: 1000 kg/m3, 1.02e-6 m2/s.
Pipe white_pipe(int number) {
  Pipe pipe;
  pipe.density = 1000.0;
  pipe.viscosity = 1.02e-3;
  const double length[] = {100.0, 150.0, 80.0}, bore[] = {0.08, 0.06, 0.04};
  const double roughness[] = {0.24e-3, 0.12e-3, 0.20e-3};
  pipe.length = length[number];
  pipe.bore = bore[number];
  pipe.roughness = roughness[number];
  return pipe;
}

// The pump loop: pump A-B, B-C, two branches C-D, D-A.
struct PumpLoop {
  double flow, narrow, wide;      // L/min
  double pump_head, branch_head;  // m
};

struct LitrePump {  // H = 2.4 m - (0.6/9) Q^2, Q in L/min
  double density;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    using std::sqrt;
    const X litres = in[0] * (60000.0 / density);
    out[0] = density * gravity * (0.6 / 9.0 * litres * sqrt(litres * litres + 1e-12) - 2.4);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

PumpLoop pump_loop(double kinematic_viscosity) {
  const double density = 1000.0;
  const auto pipe = [&](double length, double bore, double loss) {
    Pipe p;
    p.length = length;
    p.bore = bore;
    p.loss = loss;
    p.roughness = 1.5e-6;
    p.density = density;
    p.viscosity = kinematic_viscosity * density;
    return p;
  };
  Circuit c(0);
  const int stream = c.add_stream({"water"});
  const int a = c.add_node(stream), b = c.add_node(stream), d1 = c.add_node(stream),
            d2 = c.add_node(stream);
  const int pump = add_law(c, stream, a, b, LitrePump{density});
  add_law(c, stream, b, d1, pipe(0.4, 0.006, 2.0));
  const int narrow = add_law(c, stream, d1, d2, pipe(0.6, 0.003, 0.0));
  const int wide = add_law(c, stream, d1, d2, pipe(0.6, 0.004, 1.5));
  add_law(c, stream, d2, a, pipe(0.4, 0.006, 3.0));
  c.close();
  c.prepare({});
  const Solved s = solved(c);
  CHECK(s.summary.usable);
  const auto litres = [&](int branch) {
    return s.flow[static_cast<std::size_t>(branch)] * 60000.0 / density;
  };
  const auto head = [&](int from, int to) {
    return (s.pressure[static_cast<std::size_t>(from)] - s.pressure[static_cast<std::size_t>(to)]) /
           (density * gravity);
  };
  return {litres(pump), litres(narrow), litres(wide), head(b, a), head(d1, d2)};
}

}  // namespace

TEST_CASE("three reservoirs feed one junction") {
  Circuit c(0);
  const int stream = c.add_stream({"water"});
  const int ground = c.add_node(stream), junction = c.add_node(stream);
  const double height[] = {20.0, 100.0, 40.0};
  for (int i = 0; i < 3; ++i) {
    Pipe pipe = white_pipe(i);
    pipe.rise = pipe.density * gravity * height[i];
    add_law(c, stream, ground, junction, pipe);
  }
  c.close();
  c.prepare({});
  const Solved s = solved(c);
  CHECK(s.summary.usable);
  const double head = s.pressure[1] / (1000.0 * gravity);
  const auto hourly = [&](std::size_t i) { return s.flow[i] * 3.6; };
  published("three reservoirs: head at the junction, m", white, 34.53, head, 0.01);
  published("three reservoirs: flow from the lowest, m3/h", white, -52.8, hourly(0), 0.01);
  published("three reservoirs: flow from the highest, m3/h", white, 47.0, hourly(1), 0.01);
  published("three reservoirs: flow from the third, m3/h", white, 5.8, hourly(2), 0.01);
}

TEST_CASE("three pipes in series share one flow") {
  Circuit c(0);
  const int stream = c.add_stream({"water"});
  int last = c.add_node(stream);
  const int first = last;
  for (int i = 0; i < 3; ++i) {
    const int next = i < 2 ? c.add_node(stream) : first;
    Pipe pipe = white_pipe(i);
    if (i == 0) pipe.rise = 150e3 + 5.0 * 1000.0 * gravity;
    add_law(c, stream, last, next, pipe);
    last = next;
  }
  c.close();
  c.prepare({});
  const Solved s = solved(c);
  published("pipes in series: flow, m3/h", white_memory, 10.2, s.flow[0] * 3.6, 0.01);
}

TEST_CASE("a closed pump loop with two branches, laminar and turbulent") {
  const char* own = "own evaluation by a separate program, 64/Re";
  const PumpLoop thick = pump_loop(1e-5);
  published("pump loop, laminar: flow, L/min", own, 1.24777, thick.flow, 0.001);
  published("pump loop, laminar: narrow branch, L/min", own, 0.31716, thick.narrow, 0.001);
  published("pump loop, laminar: wide branch, L/min", own, 0.93061, thick.wide, 0.001);
  published("pump loop, laminar: head of the pump, m", own, 2.29620, thick.pump_head, 0.001);
  published("pump loop, laminar: head of the branches, m", own, 1.62550, thick.branch_head, 0.001);
  const char* turbulent = "own evaluation by a separate program, Swamee and Jain";
  const PumpLoop thin = pump_loop(6.578543e-7);
  published("pump loop, turbulent: flow, L/min", turbulent, 2.29963, thin.flow, 0.01);
  published("pump loop, turbulent: narrow branch, L/min", turbulent, 0.80317, thin.narrow, 0.01);
  published("pump loop, turbulent: wide branch, L/min", turbulent, 1.49646, thin.wide, 0.01);
  published("pump loop, turbulent: head of the pump, m", turbulent, 2.04745, thin.pump_head, 0.01);
  published("pump loop, turbulent: head of the branches, m", turbulent, 1.20842, thin.branch_head,
            0.01);
}

namespace {

// One law of twins: two of them in parallel are one of it.
struct Twin {
  Pipe pipe;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    const X both = 2.0 * in[0];
    pipe.evaluate<G, X>({}, &both, out);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

enum class Cut { none, halves, twins, loops };

// Flow through the pump of a ring of pump, hose and core.
double ring(Cut cut) {
  Pipe hose, core;
  hose.length = 0.6;
  hose.k1 = 300.0;
  core.length = 0.4;
  core.bore = 0.004;
  const Parabola pump{2e4, 0.06, 0.9};
  Circuit c(0);
  const int stream = c.add_stream({"water"});
  const int a = c.add_node(stream), b = c.add_node(stream), d = c.add_node(stream);
  const int copies = cut == Cut::loops ? 2 : 1;
  int first = 0;
  for (int copy = 0; copy < copies; ++copy) {
    first = add_law(c, stream, a, b, pump);
    if (cut == Cut::halves) {
      Pipe half = hose;
      half.length /= 2.0;
      half.k1 /= 2.0;
      const int middle = c.add_node(stream);
      add_law(c, stream, b, middle, half);
      add_law(c, stream, middle, d, half);
    } else {
      add_law(c, stream, b, d, hose);
    }
    for (int twin = 0; twin < (cut == Cut::twins ? 2 : 1); ++twin) {
      if (cut == Cut::twins) {
        add_law(c, stream, d, a, Twin{core});
      } else {
        add_law(c, stream, d, a, core);
      }
    }
  }
  c.close();
  c.prepare({});
  return solved(c).flow[static_cast<std::size_t>(first)];
}

}  // namespace

TEST_CASE("halves in series, twins in parallel and twin loops are the whole") {
  const double whole = ring(Cut::none);
  CHECK(whole > 0.0);
  for (const Cut cut : {Cut::halves, Cut::twins, Cut::loops}) {
    CHECK(ring(cut) == doctest::Approx(whole).epsilon(1e-9));
  }
}

TEST_CASE("order, names and directions change nothing but signs") {
  for (unsigned seed = 0; seed < 60; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Graph graph = random_graph(dice, 40, false);
    const std::vector<double> flow = solved(circuit_of(graph)).flow;
    // The same pieces, shuffled, some turned round, between nodes in another order.
    std::vector<std::size_t> order(graph.pieces.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (std::size_t i = order.size(); i > 1; --i) {
      std::swap(order[i - 1], order[static_cast<std::size_t>(dice.below(static_cast<int>(i)))]);
    }
    Circuit c(0);
    const int stream = c.add_stream({"other name"});
    std::vector<int> nodes;
    for (int n = 0; n < graph.nodes; ++n) c.add_node(stream, "node");
    for (int n = 0; n < graph.nodes; ++n) nodes.push_back(graph.nodes - 1 - n);
    std::vector<double> sign;
    for (const std::size_t i : order) {
      sign.push_back(dice.chance(0.5) ? -1.0 : 1.0);
      add_piece(c, stream, nodes, graph.pieces[i], sign.back() < 0.0);
    }
    c.close();
    c.prepare({});
    const std::vector<double> other = solved(c).flow;
    std::vector<double> back(flow.size());
    for (std::size_t i = 0; i < order.size(); ++i) back[order[i]] = sign[i] * other[i];
    same(flow, back, largest(flow), 1e-9);
  }
}

TEST_CASE("flows balance at every node and pressures at every branch") {
  for (unsigned seed = 0; seed < 100; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const Graph graph = random_graph(dice, 60, false);
    const Circuit c = circuit_of(graph);
    std::vector<double> x(static_cast<std::size_t>(c.unknowns()), 0.0);
    Evaluation work;
    CHECK(solve_flows(c, {}, x, work).usable);
    const std::vector<double> pressure = c.pressures(work);
    std::vector<double> net(static_cast<std::size_t>(graph.nodes), 0.0);
    for (std::size_t b = 0; b < work.flow.size(); ++b) {
      const Edge& edge = c.edges()[b];
      net[static_cast<std::size_t>(edge.from)] -= work.flow[b];
      net[static_cast<std::size_t>(edge.to)] += work.flow[b];
      const double fall = pressure[static_cast<std::size_t>(edge.from)] -
                          pressure[static_cast<std::size_t>(edge.to)];
      CHECK(std::abs(work.drop[b] - fall) <= 1e-9 * largest(work.drop));
    }
    CHECK(largest(net) <= 1e-14 * largest(work.flow));
  }
}

TEST_CASE("2,000 random graphs converge from rest and from a thousand times too much") {
  for (const double start : {0.0, 1000.0}) {
    int within_twenty = 0, most = 0, evaluations = 0;
    for (unsigned seed = 0; seed < 2000; ++seed) {
      CAPTURE(seed);
      Dice dice(seed + 1000);
      const Circuit c = circuit_of(random_graph(dice, 60, false));
      std::vector<double> x(static_cast<std::size_t>(c.unknowns()), 0.0);
      Evaluation work;
      solve_flows(c, {}, x, work);
      for (double& flow : x) flow *= start;
      const Summary summary = solve_flows(c, {}, x, work);
      CHECK(summary.usable);
      CHECK(summary.flow_residual <= 1e-10);
      within_twenty += summary.iterations <= 20;
      most = std::max(most, summary.iterations);
      evaluations = std::max(evaluations, summary.evaluations);
    }
    CHECK(within_twenty >= 1900);
    CHECK(most <= 50);
    CHECK(evaluations <= 100);
  }
}

TEST_CASE("200 random graphs with machines that stall or droop end at a stable point") {
  int elsewhere = 0;
  for (unsigned seed = 0; seed < 200; ++seed) {
    CAPTURE(seed);
    Dice dice(seed + 5000);
    const Circuit c = circuit_of(random_graph(dice, 60, true));
    std::vector<double> x(static_cast<std::size_t>(c.unknowns()), 0.0);
    std::vector<double> from_rest = x;
    Evaluation work;
    CHECK(solve_flows(c, {}, x, work).usable);
    CHECK(flows_stable(c, x, work));
    CHECK(solve_flows_from_rest(c, {}, from_rest, work).usable);
    CHECK(flows_stable(c, from_rest, work));
    double apart = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i)
      apart = std::max(apart, std::abs(x[i] - from_rest[i]));
    elsewhere += apart > 1e-6 * largest(x);
  }
  CHECK(elsewhere < 20);  // most have one stable point only
}

TEST_CASE("two drooping pumps side by side do not stay on the edge between them") {
  // Equal flows balance, but where both curves rise the least difference tips them over:
  // one pump comes to carry more, the other less.
  Circuit c(0);
  const int stream = c.add_stream({"water"});
  const int a = c.add_node(stream), b = c.add_node(stream);
  Machine pump{1e4, 0.05, 1.0, {}};
  pump.curve.kind = law::CurveKind::pump;
  pump.curve.shape = -1.5;
  add_law(c, stream, a, b, pump);
  add_law(c, stream, a, b, pump);
  Pipe valve;
  valve.bore = 0.003;
  valve.loss = 40.0;
  add_law(c, stream, b, a, valve);
  c.close();
  c.prepare({});
  for (const bool from_rest : {false, true}) {
    CAPTURE(from_rest);
    std::vector<double> x(2, 0.0);
    Evaluation work;
    const Summary summary =
        from_rest ? solve_flows_from_rest(c, {}, x, work) : solve_flows(c, {}, x, work);
    CHECK(summary.usable);
    CHECK(flows_stable(c, x, work));
    const std::vector<double> flow = c.flows(x);
    CHECK(std::abs(flow[0] - flow[1]) > 0.1 * std::abs(flow[2]));
  }
  // The simultaneous solve meets the edge first, sees it, and starts over.
  std::vector<double> x(2);  // the second pump, and the valve
  REQUIRE(c.chord(0) == 1);
  x = {0.005, 0.010};
  Evaluation work;
  CHECK(solve(c, {}, x, work).usable);
  CHECK(flows_stable(c, x, work));
}

TEST_CASE("a part that no loop goes through carries no flow; pieces live apart") {
  Circuit c(0);
  const int stream = c.add_stream({"water"});
  std::vector<int> n;
  for (int i = 0; i < 7; ++i) n.push_back(c.add_node(stream));
  const auto node = [&](int i) { return n[static_cast<std::size_t>(i)]; };
  add_law(c, stream, node(0), node(1), Parabola{});
  add_law(c, stream, node(1), node(0), Pipe{});
  add_law(c, stream, node(1), node(2), Pipe{});  // a dead end
  add_law(c, stream, node(3), node(4), Parabola{});
  add_law(c, stream, node(4), node(3), Pipe{});
  add_law(c, stream, node(5), node(6), Pipe{});  // a piece without a ring
  c.close();
  c.prepare({});
  CHECK(c.loops() == 2);
  const Solved s = solved(c);
  CHECK(s.summary.usable);
  CHECK(s.flow[0] > 0.0);
  CHECK(s.flow[3] == doctest::Approx(s.flow[0]).epsilon(1e-9));
  CHECK(s.flow[2] == 0.0);
  CHECK(s.flow[5] == 0.0);
}
