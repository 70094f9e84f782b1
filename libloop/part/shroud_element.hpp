// What leaks past a shroud between fans and core. Its other effect, air over the whole face,
// is the core zone's.
//
// Inputs   flow, inlet temperature
// Outputs  drop, outlet
#pragma once

#include "libloop/network/circuit.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/orifice.hpp"
#include "libloop/part/shroud.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class ShroudLeak {
 public:
  const Sheet* shroud = nullptr;
  const Sheet* conditions = nullptr;

  template <class T>
  using Prepared = Orifice<T>;

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Shroud<T> s = take<Shroud>(*shroud, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    return {discharge * s.gap, fluid::standard_pressure(at.altitude)};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    pass_orifice<G, X>(p, in, out);
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace libloop
