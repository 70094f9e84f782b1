// Small elements and random graphs for the tests of the network.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "libloop/law/friction.hpp"
#include "libloop/law/turbomachine.hpp"
#include "libloop/network/solve.hpp"

namespace libloop::testing {

using network::Circuit;
using network::Input;
using network::Output;

inline constexpr double gravity = 9.81;  // m/s2, as textbooks take it

// A round pipe: Churchill's friction, or 64/Re alone, and two-K or constant losses.
struct Pipe {
  double length = 1.0, bore = 0.006, roughness = 0.0;  // m
  double loss = 0.0;                                   // velocity heads
  double k1 = 0.0, k_infinity = 0.0;                   // two-K
  double density = 1000.0, viscosity = 1e-3;           // kg/m3, Pa s
  double rise = 0.0;                                   // Pa, driven from outside
  bool laminar = false;

  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    using std::sqrt;
    const double area = 0.7853981633974483 * bore * bore;
    const X size = sqrt(in[0] * in[0] + 1e-18);
    const X reynolds = size * (bore / (area * viscosity));
    const X friction = laminar ? X(64.0) : law::churchill_f_re<X>(reynolds, X(roughness / bore));
    const X fitting = law::two_k_re<X>(reynolds, X(k1), X(k_infinity), X(bore));
    const double velocity_head = 1.0 / (2.0 * density * area * area);  // Pa s2/kg2
    out[0] = (friction * (length / bore) + fitting) *
                 (viscosity / (2.0 * density * bore * area * bore)) * in[0] * bore +
             loss * velocity_head * size * in[0] - rise;
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A machine with a falling parabola: rise = pressure (1 - y |y|), y = m / free_flow, at
// speed 1; a stopped one only resists.
struct Parabola {
  double pressure = 1e4, free_flow = 0.05, speed = 1.0;

  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    using std::sqrt;
    const X y = in[0] / free_flow;
    out[0] = pressure * (y * sqrt(y * y + 1e-12) - speed * speed);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A machine by the law of fans and pumps: its curve may droop at shut-off or have a dip.
struct Machine {
  double pressure = 1e4, free_flow = 0.05, speed = 1.0;
  law::Characteristic<double> curve;

  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    if constexpr (std::is_same_v<G, double>) {
      out[0] = -pressure * law::machine_rise<double, X>(curve, in[0] / free_flow, speed);
    }
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

inline int add_branch(Circuit& c, int stream, int from, int to, std::string name = "b") {
  return c.add_branch({stream, from, to, network::nowhere, network::nowhere, 0.0, std::move(name)});
}

// A branch with one element that only has a drop.
template <class Law>
int add_law(Circuit& c, int stream, int from, int to, Law law, std::string name = "b") {
  const int b = add_branch(c, stream, from, to, name);
  c.add(network::adapt(std::move(name), {{Input::Kind::flow, b}}, {{Output::Kind::drop, b}}, {},
                       std::move(law)));
  return b;
}

// ---- random graphs

class Dice {
 public:
  explicit Dice(unsigned seed) : generator_(seed) {}
  // The generator's own numbers: the same on every machine.
  double uniform(double low, double high) {
    return low + (high - low) * (static_cast<double>(generator_()) / 4294967296.0);
  }
  double decades(double low, double high) {
    return std::exp(uniform(std::log(low), std::log(high)));
  }
  int below(int count) { return static_cast<int>(uniform(0.0, count)); }
  bool chance(double p) { return uniform(0.0, 1.0) < p; }

 private:
  std::mt19937 generator_;
};

inline Pipe random_pipe(Dice& dice, double density, double viscosity) {
  Pipe pipe;
  pipe.length = dice.decades(0.05, 3.0);
  pipe.bore = dice.decades(0.002, 0.012);
  pipe.roughness = pipe.bore * dice.decades(1e-6, 3e-2);
  pipe.loss = dice.chance(0.2) ? dice.decades(0.5, 20.0) : 0.0;
  if (dice.chance(0.06)) pipe.loss = dice.decades(1e3, 1e7);  // a valve nearly shut
  if (dice.chance(0.5)) {
    pipe.k1 = dice.uniform(100.0, 1500.0);
    pipe.k_infinity = dice.uniform(0.1, 2.0);
  }
  pipe.laminar = dice.chance(0.1);
  pipe.density = density;
  pipe.viscosity = viscosity;
  return pipe;
}

inline std::variant<Pipe, Parabola, Machine> random_machine(Dice& dice, bool drooping) {
  const double speed = dice.chance(0.15) ? 0.0 : dice.uniform(0.3, 1.0);
  const double pressure = dice.decades(2e3, 5e4), free_flow = dice.decades(0.01, 0.2);
  if (!drooping) return Parabola{pressure, free_flow, speed};
  Machine machine{pressure, free_flow, speed, {}};
  machine.curve.kind = dice.chance(0.5) ? law::CurveKind::pump : law::CurveKind::fan;
  const bool pump = machine.curve.kind == law::CurveKind::pump;
  machine.curve.shape = pump ? dice.uniform(-0.5, 0.3) : dice.uniform(0.0, 1.0);
  machine.curve.dip = pump ? 0.0 : dice.uniform(0.0, 0.3);
  return machine;
}

struct Piece {
  int from = 0, to = 0;
  std::variant<Pipe, Parabola, Machine> law;
};

struct Graph {
  int nodes = 0;
  std::vector<Piece> pieces;
};

// A connected graph of pipes and machines: a ring to start with, then elements in series,
// in parallel and across; some hang on dead ends.
inline Graph random_graph(Dice& dice, int most, bool drooping) {
  const double density = dice.uniform(900.0, 1100.0);
  const double viscosity = density * dice.decades(4e-7, 2e-5);
  const int elements = 2 + dice.below(most - 1);
  const int ring = 2 + dice.below(std::max(1, elements / 2));
  Graph graph;
  graph.nodes = ring;
  bool driven = false;
  while (static_cast<int>(graph.pieces.size()) < elements) {
    const int e = static_cast<int>(graph.pieces.size());
    int from = e < ring ? e : dice.below(graph.nodes);
    int to = e < ring ? (e + 1) % ring : dice.below(graph.nodes);
    if (e >= ring && dice.chance(0.25)) to = graph.nodes++;
    if (dice.chance(0.3)) std::swap(from, to);
    const Pipe pipe = random_pipe(dice, density, viscosity);
    if (driven && !dice.chance(0.12)) {
      graph.pieces.push_back({from, to, pipe});
      continue;
    }
    // A machine has a pipe behind it: its own ports.
    const int port = graph.nodes++;
    graph.pieces.push_back({from, port, random_machine(dice, drooping)});
    graph.pieces.push_back({port, to, pipe});
    driven = true;
  }
  return graph;
}

// A law seen from its other end.
template <class Law>
struct Mirrored {
  Law law;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    const X back = -in[0];
    const typename Law::template Prepared<G> none{};
    law.template evaluate<G, X>(none, &back, out);
    out[0] = -out[0];
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

inline int add_piece(Circuit& c, int stream, const std::vector<int>& nodes, const Piece& piece,
                     bool mirrored = false) {
  const int from = nodes[static_cast<std::size_t>(piece.from)];
  const int to = nodes[static_cast<std::size_t>(piece.to)];
  return std::visit(
      [&]<class Law>(const Law& law) {
        return mirrored ? add_law(c, stream, to, from, Mirrored<Law>{law}, "piece")
                        : add_law(c, stream, from, to, law, "piece");
      },
      piece.law);
}

inline Circuit circuit_of(const Graph& graph) {
  Circuit c(0);
  const int stream = c.add_stream({"fluid"});
  std::vector<int> nodes;
  for (int n = 0; n < graph.nodes; ++n) nodes.push_back(c.add_node(stream));
  for (const Piece& piece : graph.pieces) add_piece(c, stream, nodes, piece);
  c.close();
  c.prepare({});
  return c;
}

}  // namespace libloop::testing
