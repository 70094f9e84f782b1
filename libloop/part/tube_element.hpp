// One hose with half of the loop's fittings.
//
// Inputs   flow, specific heat, air around, its cells in the direction of its branch
// Outputs  drop, outlet, heat into every cell, heat into the air around, capacity of
//          every cell, answer heat_out
#pragma once

#include "libloop/fluid/liquid.hpp"
#include "libloop/law/exchanger.hpp"
#include "libloop/law/friction.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/chain.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/tube.hpp"

namespace libloop {

class TubeElement {
 public:
  const Sheet* tube = nullptr;
  const Sheet* coolant = nullptr;
  int cells = 1;

  template <class T>
  struct Prepared {
    fluid::Liquid<T> liquid;
    T bore{}, area{}, length{}, roughness{}, loss_k1{}, loss_infinity{}, loss{}, wall_capacity{};
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Tube<T> t = take<Tube>(*tube, q);
    const Coolant<T> c = take<Coolant>(*coolant, q);
    Prepared<T> p;
    p.liquid = liquid_of(c);
    p.bore = t.bore;
    constexpr double quarter_pi = 0.7853981633974483;
    p.area = quarter_pi * t.bore * t.bore;
    p.length = t.length;
    p.roughness = t.roughness / t.bore;
    // The loop's fittings follow Hooper's two-K form of a 90 degree elbow (K1 = 800,
    // K_infinity = 0.40), scaled to the stated loss at Re 1500; half of them here.
    constexpr double elbow_k1 = 800.0, elbow_infinity = 0.40, stated_at = 1500.0;
    const T elbow = law::two_k<T>(T(stated_at), T(elbow_k1), T(elbow_infinity), t.bore);
    const T scale = 0.5 * t.minor_loss / elbow;
    p.loss_k1 = elbow_k1 * scale;
    p.loss_infinity = elbow_infinity * scale;
    p.loss = t.heat_loss * t.length;
    p.wall_capacity = t.wall_capacity * t.length;
    return p;
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const X &flow = in[0], &specific_heat = in[1], &around = in[2];
    const X* cell = in + 3;
    const double parts = cells;
    X mean(0.0);
    for (int j = 0; j < cells; ++j) mean += cell[j] / parts;
    const T density = fluid::density(p.liquid, mean);
    const T viscosity = fluid::viscosity(p.liquid, mean);
    const X carried = network::carrying_flow(flow);
    const T reynolds = carried * p.bore / (p.area * viscosity);
    const T velocity = flow / (density * p.area);
    // f Re and K Re: finite at rest.
    const T friction = law::churchill_f_re<T>(reynolds, T(p.roughness)) * p.length / p.bore;
    const T fittings = law::two_k_re<T>(reynolds, T(p.loss_k1), T(p.loss_infinity), T(p.bore));
    out[0] = 0.5 * (friction + fittings) * viscosity * velocity / p.bore;

    const X stream = carried * specific_heat;
    const T loss = p.loss / parts;
    const T to_outlet = law::mean_to_outlet<T>(law::transfer_units<T>(loss, T(stream)));
    T* heat = out + 2;
    T& to_air = heat[cells];
    T* capacity = heat + cells + 1;
    to_air = chain_cells<T>(
        cells, flow, T(stream),
        [&](int j) {
          const T over = T(cell[j] - around);
          return std::pair<T, T>(around + over * to_outlet, loss * over);
        },
        heat, out[1]);
    for (int j = 0; j < cells; ++j) {
      capacity[j] = (p.area * p.length * density * specific_heat + p.wall_capacity) / parts;
    }
    capacity[cells] = to_air;
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    double mean = 0.0;
    for (int j = 0; j < cells; ++j) mean += in[3 + j] / cells;
    const double viscosity = fluid::viscosity(p.liquid, mean);
    const double reynolds = std::abs(in[0]) * p.bore / (p.area * viscosity);
    if (reynolds > 2300.0 && reynolds < 4000.0) {
      notes.add({Note::Kind::validity, "hose_transition",
                 "flow in the hoses lies between laminar and turbulent: allow 30 % on their "
                 "friction",
                 "tube"});
    }
  }
};

}  // namespace libloop
