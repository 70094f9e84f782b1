#include <doctest/doctest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "libloop/network/solve.hpp"
#include "support/published.hpp"

using namespace libloop;
using namespace libloop::network;
using libloop::testing::published;

namespace {

// drop = resistance * flow - rise; its quantities are both.
struct Resistor {
  template <class T>
  struct Prepared {
    T resistance, rise;
  };
  template <class T>
  Prepared<T> prepare(const T* q) const {
    return {q[0], q[1]};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    out[0] = p.resistance * in[0] - p.rise;
    out[1] = Promote<G, X>(in[0]);  // an answer: the flow
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A drop that rises with the square of flow, both ways, from a slope of zero.
struct Orifice {
  double factor = 1.0, rise = 0.0;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    using std::sqrt;
    out[0] = factor * in[0] * sqrt(in[0] * in[0] + 1e-24) + 1e-6 * in[0] - rise;
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// Two lumps: heat into the first, links to the second and from there to 0.
struct TwoLumps {
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    const X between = (in[0] - in[1]) / 0.05;
    out[0] = 200.0 - between;
    out[1] = between - in[1] / 0.10;
    out[2] = X(400.0);
    out[3] = X(2100.0);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

int node_branch(Circuit& c, int stream, int from, int to, const char* name) {
  return c.add_branch({stream, from, to, nowhere, nowhere, 0.1, name});
}

}  // namespace

TEST_CASE("the linear bridge is solved exactly") {
  // Source S and sink T joined by a unit pressure; R S-1 1, S-2 2, 1-T 3, 2-T 4, 1-2 5.
  Circuit c(6);
  const int stream = c.add_stream({"bridge", false, -1});
  const int s = c.add_node(stream), one = c.add_node(stream), two = c.add_node(stream),
            t = c.add_node(stream);
  const int ends[6][2] = {{s, one}, {s, two}, {one, t}, {two, t}, {one, two}, {t, s}};
  std::vector<double> q;
  for (int i = 0; i < 6; ++i) {
    const int b = node_branch(c, stream, ends[i][0], ends[i][1], "r");
    c.add(adapt("r", {{Input::Kind::flow, b}}, {{Output::Kind::drop, b}, {Output::Kind::answer, i}},
                {2 * i, 2 * i + 1}, Resistor{}));
    q.push_back(i < 5 ? i + 1.0 : 0.0);
    q.push_back(i < 5 ? 0.0 : 1.0);
  }
  c.close();
  CHECK(c.loops() == 3);
  c.prepare(q);
  for (const double start : {0.0, 1e-5, 1e3}) {
    std::vector<double> x(3, start);
    Evaluation work;
    const Summary summary = solve_flows(c, {}, x, work);
    CHECK(summary.usable);
    const std::vector<double>& flow = work.answer;
    const double v1 = 1.0 - flow[0], v2 = 1.0 - 2.0 * flow[1];
    published("linear bridge: potential at 1", "exact, 63/85", 63.0 / 85.0, v1, 1e-8);
    published("linear bridge: potential at 2", "exact, 58/85", 58.0 / 85.0, v2, 1e-8);
    published("linear bridge: bridge flow", "exact, 1/85", 1.0 / 85.0, flow[4], 1e-8);
    published("linear bridge: resistance", "exact, 170/71", 170.0 / 71.0, 1.0 / flow[5], 1e-8);
  }
  // Slopes of the bridge flow by every resistance, against differences.
  std::vector<double> x(3, 0.1);
  Evaluation work;
  solve_flows(c, {}, x, work);
  const std::vector<double> slopes = answer_slopes(c, x, work);
  for (int i = 0; i < 12; ++i) {
    const double h = 1e-5;
    double difference = 0.0;
    for (const double sign : {1.0, -1.0}) {
      std::vector<double> moved = q;
      moved[static_cast<std::size_t>(i)] += sign * h;
      c.prepare(moved);
      std::vector<double> y(3, 0.1);
      Evaluation at;
      solve_flows(c, {}, y, at);
      difference += sign * at.answer[4] / (2 * h);
    }
    CHECK(slopes[4 * 12 + static_cast<std::size_t>(i)] ==
          doctest::Approx(difference).epsilon(1e-6));
  }
}

TEST_CASE("quadratic elements converge from rest and from a thousand times too much") {
  Circuit c(0);
  const int stream = c.add_stream({"water", false, -1});
  const int a = c.add_node(stream), b = c.add_node(stream);
  for (const auto& [factor, rise] : {std::pair{0.0, 5.0}, {2.0, 0.0}, {8.0, 0.0}}) {
    const bool pump = rise > 0.0;
    const int branch = node_branch(c, stream, pump ? a : b, pump ? b : a, "o");
    c.add(adapt("o", {{Input::Kind::flow, branch}}, {{Output::Kind::drop, branch}}, {},
                Orifice{factor, rise}));
  }
  c.close();
  c.prepare({});
  for (const double start : {0.0, 1e-6, 1e3}) {
    std::vector<double> x(static_cast<std::size_t>(c.loops()), start);
    Evaluation work;
    const Summary summary = solve_flows(c, {}, x, work);
    CHECK(summary.usable);
    CHECK(summary.iterations < 50);
    CHECK(std::abs(c.flow(x, 1)) == doctest::Approx(std::sqrt(2.5)).epsilon(1e-5));
    CHECK(std::abs(c.flow(x, 2)) == doctest::Approx(std::sqrt(0.625)).epsilon(1e-5));
  }
}

TEST_CASE("two lumps settle and decay as they should") {
  Circuit c(0);
  const int one = c.add_state("one"), two = c.add_state("two");
  c.add(adapt("lumps", {{Input::Kind::state, one}, {Input::Kind::state, two}},
              {{Output::Kind::heat, one},
               {Output::Kind::heat, two},
               {Output::Kind::capacity, one},
               {Output::Kind::capacity, two}},
              {}, TwoLumps{}));
  c.close();
  c.prepare({});
  std::vector<double> x = c.start(10.0);
  Evaluation work;
  SolveOptions options;
  options.load = 200.0;
  CHECK(solve(c, options, x, work).usable);
  published("two lumps, steady: first", "exact", 30.0, x[0], 1e-10);
  published("two lumps, steady: second", "exact", 20.0, x[1], 1e-10);
  const std::vector<double> a = linearise(c, x, {});
  const Eigen::Map<const Eigen::Matrix<double, 2, 2, Eigen::RowMajor>> matrix(a.data());
  const Eigen::Vector2d lambda = matrix.eigenvalues().real();
  published("two lumps: slow eigenvalue, 1/s", "closed form, own evaluation", -0.00394591,
            lambda.maxCoeff(), 2e-6);
  published("two lumps: fast eigenvalue, 1/s", "closed form, own evaluation", -0.0603398,
            lambda.minCoeff(), 2e-6);
}
