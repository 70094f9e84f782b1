// A leak or an opening that air passes, in the air's own properties.
//
// Inputs   flow, inlet temperature
// Outputs  drop, outlet
#pragma once

#include "libloop/fluid/air.hpp"
#include "libloop/law/screen.hpp"
#include "libloop/math/dual.hpp"

namespace libloop {

// Effective over free area of a sharp-edged gap: common practice, no source.
inline constexpr double discharge = 0.6;

template <class T>
struct Orifice {
  T area{};      // effective, m2
  T pressure{};  // of the air, Pa
};

template <class G, class X>
void pass_orifice(const Orifice<G>& o, const X* in, Promote<G, X>* out) {
  using T = Promote<G, X>;
  const T density = fluid::air_density(in[1], o.pressure);
  out[0] = law::orifice_drop<T>(T(in[0]), T(o.area), density, T(fluid::air_viscosity(in[1])));
  out[1] = T(in[1]);
}

}  // namespace libloop
