// The air of a case: warmed by other hardware, cooled through the walls. What fans and
// openings bring and take is the circuit's.
//
// Inputs   temperature of its air, air around
// Outputs  heat into its air, heat into the air around, answers heat_in, heat_out
#pragma once

#include <vector>

#include "libloop/network/circuit.hpp"
#include "libloop/part/case.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class CaseElement {
 public:
  const Sheet* enclosure = nullptr;

  template <class T>
  struct Prepared {
    T own_heat{}, walls{};
    network::Scales<1> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Enclosure<T> c = take<Enclosure>(*enclosure, q);
    return {c.own_heat, c.wall_conductance, {}};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const T through_walls = p.scale[0] * p.walls * (in[0] - in[1]);
    out[0] = p.own_heat - through_walls;
    // The heat enters air at once and reaches the surroundings in the end, as that of the
    // cores does; walls only pass it on from air to air.
    out[1] = T(p.own_heat);
    out[2] = T(p.own_heat);
    out[3] = T(p.own_heat);
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}

  std::vector<network::Conductance> conductances() const {
    return {{"walls of " + enclosure->path()}};
  }
};

}  // namespace libloop
