// A reservoir in the loop: a stirred volume that loses a little heat to still air.
//
// Inputs   flow, specific heat, its temperature, air around
// Outputs  drop, outlet, heat into it, heat into the air around, capacity of its coolant and of
//          its wall, answer heat_out
#pragma once

#include <string>
#include <vector>

#include "libloop/fluid/liquid.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/bore_loss.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/flow_names.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/reservoir.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class ReservoirElement {
 public:
  const Sheet* reservoir = nullptr;
  const Sheet* coolant = nullptr;

  template <class T>
  struct Prepared {
    fluid::Liquid<T> liquid;
    BoreLoss<T> ports;
    T volume{}, to_air{}, wall{};
    network::Scales<2> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Reservoir<T> r = take<Reservoir>(*reservoir, q);
    const Coolant<T> c = take<Coolant>(*coolant, q);
    return {liquid_of(c), bore_loss(r.bore, r.loss), r.volume, r.heat_loss, r.wall_capacity, {}};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const X &flow = in[0], &specific_heat = in[1], &held = in[2], &around = in[3];
    const T density = fluid::density(p.liquid, held);
    const T to_air = p.scale[loss] * p.to_air * (held - around);
    out[0] = bore_drop<G, X>(p.ports, flow, density, fluid::viscosity(p.liquid, held));
    out[1] = T(held);
    out[2] = -network::carrying_flow(flow) * specific_heat * held * p.scale[stream] - to_air;
    out[3] = to_air;
    out[4] = p.volume * density * specific_heat;
    out[5] = T(p.wall);
    out[6] = to_air;
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}

  std::vector<network::Conductance> conductances() const {
    return {{reservoir->path() + " to air"}, {named::coolant_flow}};
  }
  std::vector<std::string> stores() const {
    return {"coolant in " + reservoir->path(), "wall of " + reservoir->path()};
  }

 private:
  enum Scaled { loss, stream };
};

}  // namespace libloop
