// An opening in a wall: mesh, filter, grille, gap or duct mouth.
//
// Inputs   flow, inlet temperature
// Outputs  drop, outlet
#pragma once

#include <cmath>

#include "libloop/network/circuit.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/opening.hpp"
#include "libloop/part/orifice.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class OpeningElement {
 public:
  const Sheet* opening = nullptr;
  const Sheet* conditions = nullptr;

  template <class T>
  using Prepared = Orifice<T>;

  template <class T>
  Prepared<T> prepare(const T* q) const {
    using std::sqrt;
    const Opening<T> o = take<Opening>(*opening, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    return {o.area / sqrt(law::screen_loss(o.open_share) + o.loss),
            fluid::standard_pressure(at.altitude)};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    pass_orifice<G, X>(p, in, out);
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace libloop
