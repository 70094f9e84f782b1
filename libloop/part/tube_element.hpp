// One hose with half of the loop's fittings.
//
// Inputs   flow, specific heat, air around, its cells in the direction of its branch
// Outputs  drop, outlet, heat into every cell, heat into the air around, capacity of the
//          coolant in every cell, of the wall at every cell, answer heat_out
#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "libloop/fluid/liquid.hpp"
#include "libloop/law/exchanger.hpp"
#include "libloop/law/friction.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/bore_loss.hpp"
#include "libloop/part/chain.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/flow_names.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/tube.hpp"
#include "libloop/quantity/table.hpp"

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
    network::Scales<2> scale;
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
    // Half of the loop's fittings.
    const BoreLoss<T> fittings = bore_loss<T>(t.bore, 0.5 * t.minor_loss);
    p.loss_k1 = fittings.k1;
    p.loss_infinity = fittings.infinity;
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
    for (int j = 0; j < cells; ++j) mean += cell[j];
    mean = mean * (1.0 / parts);
    const T density = fluid::density(p.liquid, mean);
    const T viscosity = fluid::viscosity(p.liquid, mean);
    const X carried = network::carrying_flow(flow);
    const T reynolds = p.bore / p.area * carried / viscosity;
    // f Re and K Re: finite at rest.
    const T friction = p.length / p.bore * law::churchill_f_re(reynolds, p.roughness);
    const T fittings = law::two_k_re(reynolds, p.loss_k1, p.loss_infinity, p.bore);
    const G scale = 0.5 / (p.area * p.bore);
    out[0] = scale * (friction + fittings) * viscosity * flow / density;

    const X stream = carried * specific_heat * p.scale[carries];
    const T loss = p.loss * (p.scale[to_surroundings] / parts);
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
    const G volume = p.area * p.length / parts;
    std::fill_n(capacity, cells, T(volume * (density * specific_heat)));
    std::fill_n(capacity + cells, cells, T(p.wall_capacity / parts));
    capacity[2 * cells] = to_air;
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
                 tube->path()});
    }
  }

  std::vector<network::Conductance> conductances() const {
    return {{tube->path() + " to air"}, {named::coolant_flow}};
  }
  std::vector<std::string> stores() const {
    const std::size_t each = static_cast<std::size_t>(cells);
    std::vector<std::string> all(each, "coolant in " + tube->path());
    all.insert(all.end(), each, "wall of " + tube->path());
    return all;
  }

 private:
  enum Scaled { to_surroundings, carries };
};

}  // namespace libloop
