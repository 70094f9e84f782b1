// Friction in rectangular ducts.
//
// You need this header for micro-channels of a cold plate, flat tubes of a radiator and
// plain fin passages. `aspect` is short side over long side, 0 (parallel plates) to 1
// (square). Reynolds number and x+ = x / (D_h Re) are on D_h = 4 area / perimeter; f is by
// FANNING here: dp = 4 f (L / D_h) rho V^2 / 2.
//
// Developed laminar flow: the exact series of Saint-Venant's torsion problem (Shah and
// London 1978), its slow part summed in closed form. Symmetric in the two sides.
//
// Developing laminar flow: Shah (1978), J. Fluids Eng. 100:177, from a uniform inlet, 2.4 %.
// His constants for aspect 0, 0.2, 0.5 and 1 are joined by the cubic through them, the
// small one in its logarithm. "Apparent": includes the momentum that shaping the profile
// costs, so no entrance loss for that may be added.
//
// All regimes: the turbulent term of Churchill (1977) on D_h, joined to the developing
// laminar value as Churchill joined 64/Re: a twelfth root of the sum of twelfth powers.
// Turbulent flow in a flat duct deviates from D_h by some 10 % (Jones 1976).
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

// f·Re far downstream: 14.227 for a square, 24 for parallel plates.
template <class T>
T f_re_developed(T aspect);

// Apparent f·Re of laminar flow, mean from the inlet to x+. At x+ = infinity (no flow) it is
// f_re_developed; towards x+ = 0 it grows as 3.44 / sqrt(x+), while the pressure drop, which
// goes with f·Re x+, vanishes. For x+ > 0.
template <class T>
T f_re_apparent(T x_plus, T aspect);

// A duct whose shape is worked out once, for many Reynolds numbers.
template <class G>
class DuctFriction {
 public:
  DuctFriction() = default;
  DuctFriction(const G& aspect, const G& length_over_dh, const G& relative_roughness);

  // Apparent f·Re in all regimes, mean over the length; for Re >= 0 and length > 0. The
  // pressure drop, which goes with f·Re Re, rises strictly with Re.
  template <class X>
  Promote<G, X> f_re(const X& reynolds) const;

 private:
  G developed_{}, defect_{}, development_{};  // f·Re, K_infinity, C'
  G length_over_dh_ = G(1.0), roughness_{};
};

// The same for one.
template <class T>
T duct_f_re(T reynolds, T aspect, T length_over_dh, T relative_roughness);

}  // namespace libloop::law
