// The specific heat of the loop's coolant, taken at the mean of the radiators' hottest and
// coldest tanks: one value for the whole loop, so that heat carried around it closes exactly.
//
// Inputs   first tank of every radiator, last tank of every radiator
// Outputs  definition of the specific heat; answers hot less cold coolant
#pragma once

#include <algorithm>

#include "libloop/fluid/liquid.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class CoolantMean {
 public:
  const Sheet* coolant = nullptr;
  int radiators = 1;

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
    X hot(0.0), cold(0.0);
    for (int r = 0; r < radiators; ++r) {
      hot += in[r] / static_cast<double>(radiators);
      cold += in[radiators + r] / static_cast<double>(radiators);
    }
    out[0] = fluid::specific_heat(p.liquid, X(0.5 * (hot + cold)));
    out[1] = Promote<G, X>(hot - cold);
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    const double hot = *std::max_element(in, in + 2 * radiators);
    const double cold = *std::min_element(in, in + 2 * radiators);
    if (!fluid::within(p.liquid.kind, p.fraction, hot) ||
        !fluid::within(p.liquid.kind, p.fraction, cold)) {
      notes.add({Note::Kind::validity, "coolant_properties",
                 "the coolant's properties are taken at the edge of their range", "coolant"});
    }
    constexpr double common_limit = 333.15;  // 60 C, common practice for hoses and pumps
    if (hot > common_limit) {
      notes.add({Note::Kind::limit, "coolant_hot",
                 "the coolant passes 60 C, beyond which hoses and pumps commonly wear or leak; "
                 "the maker's own limit counts",
                 "coolant"});
    }
    if (hot > 373.15) {
      notes.add({Note::Kind::limit, "coolant_boils", "the coolant would boil", "coolant"});
    }
    const double freezing = fluid::freezing_point(p.liquid.kind, p.fraction);
    if (cold < freezing) {
      notes.add({Note::Kind::limit, "coolant_freezes", "the coolant would freeze", "coolant"});
    }
  }
};

}  // namespace libloop
