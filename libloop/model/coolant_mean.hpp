// The specific heat of the loop's coolant, taken at the mean of its hottest and coldest
// tank: one value for the whole loop, so that heat carried around it closes exactly.
//
// Inputs   hot tank, cold tank
// Outputs  definition of the specific heat; answers hot less cold coolant
#pragma once

#include "libloop/fluid/liquid.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class CoolantMean {
 public:
  const Sheet* coolant = nullptr;

  template <class T>
  struct Prepared {
    fluid::Liquid<T> liquid;
    double fraction = 0.0;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Coolant<T> c = take<Coolant>(*coolant, q);
    return {liquid_of(c), value_of(c.fraction)};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    const X mean(0.5 * (in[0] + in[1]));
    out[0] = fluid::specific_heat(p.liquid, mean);
    out[1] = Promote<G, X>(in[0] - in[1]);
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    if (!fluid::within(p.liquid.kind, p.fraction, in[0]) ||
        !fluid::within(p.liquid.kind, p.fraction, in[1])) {
      notes.add({Note::Kind::validity, "coolant_properties",
                 "the coolant's properties are taken at the edge of their range", "coolant"});
    }
    constexpr double common_limit = 333.15;  // 60 C, common practice for hoses and pumps
    if (in[0] > common_limit) {
      notes.add({Note::Kind::limit, "coolant_hot",
                 "the coolant passes 60 C, beyond which hoses and pumps commonly wear or leak; "
                 "the maker's own limit counts",
                 "coolant"});
    }
    if (in[0] > 373.15) {
      notes.add({Note::Kind::limit, "coolant_boils", "the coolant would boil", "coolant"});
    }
    const double freezing = fluid::freezing_point(p.liquid.kind, p.fraction);
    if (in[1] < freezing) {
      notes.add({Note::Kind::limit, "coolant_freezes", "the coolant would freeze", "coolant"});
    }
  }
};

}  // namespace libloop
