// Small circuits that store heat, with exact solutions: lumps, links, and coolant in cells.
#pragma once

#include <string>
#include <vector>

#include "libloop/law/exchanger.hpp"
#include "libloop/network/motion.hpp"
#include "libloop/part/chain.hpp"
#include "support/small_system.hpp"

namespace libloop::testing {

using network::Circuit;
using network::Input;
using network::Output;

inline constexpr double cold = 300.0;                       // K
inline constexpr double density = 992.0, heating = 4179.0;  // kg/m3, J/(kg K): water, about 40 C

template <class T>
struct NoQuantities {};

// A lump that loses heat to `cold`. Input: its state. Outputs: heat, capacity, answer: what is
// lost. Quantities: power.
struct Lump {
  double capacity = 1000.0, loss = 0.0;  // J/K, W/K
  template <class T>
  struct Prepared {
    T power{};
  };
  template <class T>
  Prepared<T> prepare(const T* q) const {
    return {q[0]};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const T lost = T(loss * (in[0] - cold));
    out[0] = p.power - lost;
    out[1] = T(capacity);
    out[2] = lost;
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// Inputs: two states. Outputs: heat into each.
struct Link {
  double conductance = 1.0;  // W/K
  template <class T>
  using Prepared = NoQuantities<T>;
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    out[0] = conductance * (in[1] - in[0]);
    out[1] = -out[0];
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// Coolant in cells, which may give heat to what is at `cold`: a hose, a tank (one cell), a row
// of a core. Inputs: flow, specific heat, cells. Outputs: drop, outlet, heat into every cell,
// capacity of every cell, answers: outlet, heat given away. Quantities: power into the first
// cell, capacity of all cells, J/K. Its drop is zero at `flow`.
struct Cells {
  int cells = 1;
  double flow = 0.0;         // kg/s
  double conductance = 0.0;  // W/K, to what is at `cold`
  double expansion = 0.0;    // 1/K, growth of the capacity
  template <class T>
  struct Prepared {
    T power{}, capacity{};
  };
  template <class T>
  Prepared<T> prepare(const T* q) const {
    return {q[0], q[1]};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const X* cell = in + 2;
    out[0] = T(1e5 * (in[0] - flow));
    const T stream = T(network::carrying_flow(in[0]) * in[1]);
    const T each = T(conductance / cells);
    const T leaves = law::mean_to_outlet<T>(law::transfer_units<T>(each, stream));
    T* heat = out + 2;
    const T given = chain_cells<T>(
        cells, in[0], stream,
        [&](int j) {
          const T over = T(cell[j] - cold);
          return std::pair<T, T>(cold + over * leaves, each * over);
        },
        heat, out[1]);
    heat[0] += p.power;
    T* capacity = heat + cells;
    for (int j = 0; j < cells; ++j) {
      capacity[j] = p.capacity * (1.0 / cells) * (1.0 + expansion * (cell[j] - cold));
    }
    capacity[cells] = out[1];
    capacity[cells + 1] = given;
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

struct Constant {
  double value = 0.0;
  template <class T>
  using Prepared = NoQuantities<T>;
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X*, Promote<G, X>* out) const {
    out[0] = Promote<G, X>(value);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// One ring of coolant; parts are put into it in the order of the flow.
class Ring {
 public:
  explicit Ring(double litres_per_minute) : c(answers), flow(litres_per_minute / 6e4 * density) {
    specific_heat = c.add_aux("specific heat", heating);
    c.add(network::adapt("specific heat", {}, {{Output::Kind::define, specific_heat}}, {},
                         Constant{heating}));
    stream = c.add_stream({"coolant", true, specific_heat});
    here_ = first_ = c.add_node(stream, "start");
  }

  // Returns its first state; the others follow. Its answers stand at 2 number, 2 number + 1.
  int put(Cells law, double power, double capacity, bool last = false) {
    law.flow = flow;
    const int q = static_cast<int>(values.size());
    values.insert(values.end(), {power, capacity});
    std::vector<Input> in;
    std::vector<Output> out;
    std::vector<int> states;
    for (int j = 0; j < law.cells; ++j) states.push_back(c.add_state("cell"));
    const int to = last ? first_ : c.add_node(stream, "place");
    const int b = c.add_branch({stream, here_, to, states.front(), states.back(), flow, "cells"});
    in = {{Input::Kind::flow, b}, {Input::Kind::aux, specific_heat}};
    out = {{Output::Kind::drop, b}, {Output::Kind::outlet, b}};
    for (const int s : states) in.push_back({Input::Kind::state, s});
    for (const int s : states) out.push_back({Output::Kind::heat, s});
    for (const int s : states) out.push_back({Output::Kind::capacity, s});
    out.push_back({Output::Kind::answer, q});
    out.push_back({Output::Kind::answer, q + 1});
    c.add(network::adapt("cells", std::move(in), std::move(out), {q, q + 1}, law));
    here_ = to;
    return states.front();
  }

  // What never changes its temperature, and ends the ring.
  int source() { return put({}, 0.0, 1e14, true); }

  void close() {
    c.close();
    c.prepare(values);
  }

  static constexpr int answers = 16;
  Circuit c;
  double flow;  // kg/s
  int specific_heat = 0, stream = 0;
  std::vector<double> values;

 private:
  int here_ = 0, first_ = 0;
};

inline network::Rider of_answer(network::Rider::Kind kind, int answer, double lag = 0.0) {
  network::Rider rider;
  rider.kind = kind;
  rider.lag = lag;
  rider.value = [answer](const std::vector<double>& all) {
    return all[static_cast<std::size_t>(answer)];
  };
  rider.slopes = [answer](const std::vector<double>&) {
    return std::vector<std::pair<int, double>>{{answer, 1.0}};
  };
  return rider;
}

inline network::Rider stored_heat() {
  network::Rider rider;
  rider.kind = network::Rider::Kind::stored;
  return rider;
}

// A circuit from unknowns of its own, told at each of `times`; its quantities stay.
inline std::vector<Vector> motion_at(Circuit& c, const std::vector<double>& x,
                                     const std::vector<double>& times, double tolerance,
                                     std::vector<network::Rider> riders = {}) {
  network::Motion motion(c, std::move(riders), tolerance, cold, network::nowhere);
  motion.set({});
  const Vector z = motion.start(0.0, x, {});
  return at_times(motion, z, times, 1e-3);
}

inline std::vector<double> evenly(double end, int intervals) {
  std::vector<double> times;
  for (int i = 0; i <= intervals; ++i) times.push_back(end * i / intervals);
  return times;
}

// Simpson's rule over an even number of equal intervals.
inline double simpson(const std::vector<double>& y, double span) {
  double sum = y.front() + y.back();
  for (std::size_t i = 1; i + 1 < y.size(); ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * y[i];
  return sum * span / (3.0 * static_cast<double>(y.size() - 1));
}

}  // namespace libloop::testing
