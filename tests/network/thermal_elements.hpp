// Elements with temperatures, and random circuits of them.
#pragma once

#include "network/elements.hpp"

namespace libloop::testing {

inline constexpr double air_heat = 1006.0;  // J/(kg K)

// Air past a wall. Inputs: flow, inlet, wall. Outputs: drop, outlet, heat into the wall.
struct AirCore {
  double resistance = 500.0, conductance = 20.0, rise = 0.0;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    using std::exp;
    using std::sqrt;
    const X size = network::carrying_flow(in[0]);
    out[0] = in[0] * resistance * (0.1 + 20.0 * size) - rise;
    const X warmed = 1.0 - exp(-conductance / (size * air_heat));
    out[1] = in[1] + warmed * (in[2] - in[1]);
    out[2] = -size * air_heat * warmed * (in[2] - in[1]);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// Air through a fan or an opening. Inputs: flow, inlet. Outputs: drop, outlet.
struct AirWay {
  double resistance = 500.0, rise = 0.0;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    out[0] = in[0] * resistance * (0.1 + 20.0 * network::carrying_flow(in[0])) *
                 (1.0 + 0.002 * (in[1] - 300.0)) -
             rise;
    out[1] = X(in[1]);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A case. Inputs: its air, air outside. Outputs: heat into its air, two answers: its
// temperature and the heat through its walls. Quantities: own heat, wall conductance.
struct CaseAir {
  template <class T>
  struct Prepared {
    T own{}, wall{};
  };
  template <class T>
  Prepared<T> prepare(const T* q) const {
    return {q[0], q[1]};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    const Promote<G, X> lost = p.wall * (in[0] - in[1]);
    out[0] = p.own - lost;
    out[1] = Promote<G, X>(in[0]);
    out[2] = lost;
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A stirred volume of coolant. Inputs: flow, specific heat, state, wall. Outputs: drop,
// outlet, heat into it, heat into the wall, capacity.
struct Cell {
  double resistance = 5e4, link = 30.0, power = 0.0, rise = 0.0;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    const X size = network::carrying_flow(in[0]);
    const X given = link * (in[2] - in[3]);
    // Warm coolant is thinner.
    using std::exp;
    out[0] = in[0] * resistance * (1.0 + 20.0 * size) * exp(-0.01 * (in[2] - 300.0)) - rise;
    out[1] = X(in[2]);
    out[2] = power - given - size * in[1] * in[2];
    out[3] = given;
    out[4] = X(400.0);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A wall stores heat and loses some to air outside. Inputs: wall, outside. Outputs: heat,
// capacity, answer: what is lost.
struct Wall {
  double loss = 0.5;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    const X lost = loss * (in[0] - in[1]);
    out[0] = -lost;
    out[1] = X(900.0);
    out[2] = lost;
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// Defines the air outside, 300 K or what the one quantity says, and the specific heat.
struct Outside {
  template <class T>
  struct Prepared {
    T temperature{};
  };
  template <class T>
  Prepared<T> prepare(const T* q) const {
    return {q[0]};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X*, Promote<G, X>* out) const {
    out[0] = Promote<G, X>(p.temperature);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

struct SpecificHeat {
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    out[0] = 3800.0 + 2.0 * (in[0] - 300.0);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// Quantities of the circuits below: outside, own heat of the case, its wall.
inline constexpr int heat_quantities = 3;
inline std::vector<double> heat_values() { return {300.0, 40.0, 1.5}; }

// Builds circuits with coolant, air, walls and a case.
class HeatBuilder {
 public:
  HeatBuilder() : c(3) {
    outside = c.add_aux("outside", 300.0);
    specific_heat = c.add_aux("specific heat", 3800.0);
    coolant = c.add_stream({"coolant", true, specific_heat});
    air = c.add_stream({"air", false, -1, air_heat});
    open = c.add_node(air, Input{Input::Kind::aux, outside}, "outside");
    c.add(network::adapt("outside", {}, {{Output::Kind::define, outside}}, {0}, Outside{}));
  }

  int wall() {
    const int state = c.add_state("wall");
    c.add(network::adapt(
        "wall", {{Input::Kind::state, state}, {Input::Kind::aux, outside}},
        {{Output::Kind::heat, state}, {Output::Kind::capacity, state}, {Output::Kind::answer, 0}},
        {}, Wall{}));
    return state;
  }

  int cell(int from, int to, int wall_state, Cell law) {
    const int state = c.add_state("cell");
    const int b = c.add_branch({coolant, from, to, state, state, 0.01, "cell"});
    c.add(network::adapt("cell",
                         {{Input::Kind::flow, b},
                          {Input::Kind::aux, specific_heat},
                          {Input::Kind::state, state},
                          {Input::Kind::state, wall_state}},
                         {{Output::Kind::drop, b},
                          {Output::Kind::outlet, b},
                          {Output::Kind::heat, state},
                          {Output::Kind::heat, wall_state},
                          {Output::Kind::capacity, state}},
                         {}, law));
    if (!defined_) {
      c.add(network::adapt("specific heat", {{Input::Kind::state, state}},
                           {{Output::Kind::define, specific_heat}}, {}, SpecificHeat{}));
      defined_ = true;
    }
    return b;
  }

  int way(int from, int to, AirWay law) {
    const int b = c.add_branch({air, from, to, network::nowhere, network::nowhere, 0.01, "way"});
    c.add(network::adapt("way", {{Input::Kind::flow, b}, {Input::Kind::inlet, b}},
                         {{Output::Kind::drop, b}, {Output::Kind::outlet, b}}, {}, law));
    return b;
  }

  int core(int from, int to, int wall_state, AirCore law) {
    const int b = c.add_branch({air, from, to, network::nowhere, network::nowhere, 0.01, "core"});
    c.add(network::adapt(
        "core", {{Input::Kind::flow, b}, {Input::Kind::inlet, b}, {Input::Kind::state, wall_state}},
        {{Output::Kind::drop, b}, {Output::Kind::outlet, b}, {Output::Kind::heat, wall_state}}, {},
        law));
    return b;
  }

  void box(int node) {
    c.add(network::adapt(
        "case", {{Input::Kind::node, node}, {Input::Kind::aux, outside}},
        {{Output::Kind::node_heat, node}, {Output::Kind::answer, 1}, {Output::Kind::answer, 2}},
        {1, 2}, CaseAir{}));
  }

  Circuit done() {
    c.close();
    c.prepare(heat_values());
    return std::move(c);
  }

  Circuit c;
  int outside, specific_heat, coolant, air, open;

 private:
  bool defined_ = false;
};

// A ring of coolant with rings across it, walls, and air that is drawn from outside,
// through a case and around in it.
inline Circuit random_heat_circuit(Dice& dice, int size) {
  HeatBuilder h;
  std::vector<int> walls, water, rooms{h.open};
  for (int i = 0; i < std::max(1, size / 3); ++i) walls.push_back(h.wall());
  const auto any = [&](const std::vector<int>& of) {
    return of[static_cast<std::size_t>(dice.below(static_cast<int>(of.size())))];
  };
  for (int i = 0; i < size; ++i) water.push_back(h.c.add_node(h.coolant, "water"));
  for (int i = 0; i < size + size / 3; ++i) {
    Cell cell;
    cell.resistance = dice.decades(1e4, 1e6);
    cell.link = dice.uniform(1.0, 60.0);
    cell.power = i % 2 == 0 ? dice.uniform(0.0, 100.0) : 0.0;
    cell.rise = i == 0 || dice.chance(0.1) ? dice.uniform(2e3, 2e4) : 0.0;
    const int from = i < size ? water[static_cast<std::size_t>(i)] : any(water);
    const int to = i < size ? water[static_cast<std::size_t>((i + 1) % size)] : any(water);
    h.cell(dice.chance(0.2) ? to : from, dice.chance(0.2) ? from : to, any(walls), cell);
  }
  const int box = h.c.add_node(h.air, "case");
  rooms.push_back(box);
  h.box(box);
  for (int i = 0; i < size; ++i) {
    const int from = any(rooms);
    const int plenum = h.c.add_node(h.air, "plenum");
    h.way(from, plenum, {dice.decades(100.0, 2000.0), dice.uniform(5.0, 40.0)});
    h.core(plenum, any(rooms),
           i < static_cast<int>(walls.size()) ? walls[static_cast<std::size_t>(i)] : any(walls),
           {dice.decades(100.0, 2000.0), dice.uniform(2.0, 40.0), 0.0});
    if (dice.chance(0.3)) rooms.push_back(plenum);
  }
  for (int i = 0; i < 2; ++i) h.way(h.open, box, {dice.decades(100.0, 2000.0), 0.0});
  return h.done();
}

}  // namespace libloop::testing
