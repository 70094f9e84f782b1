// A fitting in a branch of coolant: tee, elbow, quick coupling or valve.
//
// Inputs   flow, specific heat, its temperature
// Outputs  drop, outlet, heat into it, capacity
#pragma once

#include <string>
#include <vector>

#include "libloop/fluid/liquid.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/bore_loss.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/fitting.hpp"
#include "libloop/part/flow_names.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class FittingElement {
 public:
  const Sheet* fitting = nullptr;
  const Sheet* coolant = nullptr;

  template <class T>
  struct Prepared {
    fluid::Liquid<T> liquid;
    BoreLoss<T> loss;
    T volume{};
    network::Scales<1> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Fitting<T> f = take<Fitting>(*fitting, q);
    const Coolant<T> c = take<Coolant>(*coolant, q);
    // A valve's free area goes with its opening, its loss with the square of the velocity there.
    const T loss = f.loss / (f.opening * f.opening);
    return {liquid_of(c), bore_loss(f.bore, loss), f.volume, {}};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const X &flow = in[0], &specific_heat = in[1], &held = in[2];
    const T density = fluid::density(p.liquid, held);
    out[0] = bore_drop<G, X>(p.loss, flow, density, fluid::viscosity(p.liquid, held));
    out[1] = T(held);
    out[2] = T(-network::carrying_flow(flow) * specific_heat * held * p.scale[0]);
    out[3] = p.volume * density * specific_heat;
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}

  std::vector<network::Conductance> conductances() const { return {{named::coolant_flow}}; }
  std::vector<std::string> stores() const { return {"coolant in " + fitting->path()}; }
};

}  // namespace libloop
