// Heat transfer inside ducts and tubes.
//
// You need this header for micro-channels of a cold plate, flat tubes of a radiator, plain
// fin passages, and hoses. `aspect` is short side over long side, 0 to 1; Nu and Re are on
// D_h = 4 area / perimeter; values are means over the length, walls at uniform temperature
// unless "h1" is said (uniform heat flux along, uniform temperature around).
//
// Developed laminar flow: polynomials of Shah and London (1978), within 0.3 % (T) and
// 0.08 % (H1) of the exact solution.
//
// Developing laminar flow: Muzychka and Yovanovich (2004), J. Heat Transfer 126:54, uniform
// wall temperature, flow and temperature developing together. Rewritten on D_h, where the
// square root of the area cancels. Their developed limit (up to 11 % high, and divergent for
// parallel plates) is replaced by the exact one; the law then lies within 8 % of the exact
// Graetz solution for aspect 0.06 to 1. At zero flow Nu is the developed value.
//
// Turbulent flow: Gnielinski (1976), Int. Chem. Eng. 16:359, Re > 3000, 0.5 < Pr < 2000,
// 10 %, with his entrance factor 1 + (D/L)^(2/3).
//
// All regimes: laminar up to Re 2300, Gnielinski from 4000, a smooth weight between, as
// Gnielinski (2013) does with a linear one; the flow itself is uncertain by 30 % there.
// Nu rises with Re for L/D_h of 10 and more; in shorter ducts it may dip in the join.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

template <class T>
T nusselt_developed_t(T aspect);
template <class T>
T nusselt_developed_h1(T aspect);

// The form of Muzychka and Yovanovich between its limits, for any duct: `developed` is Nu
// far downstream, graetz = Re Pr D_h / L >= 0, f_re the developed Fanning f·Re.
template <class G, class X>
Promote<G, X> muzychka_yovanovich(X graetz, X prandtl, G developed, G f_re);

// Laminar, for Re >= 0 and length > 0.
template <class T>
T nusselt_developing(T reynolds, T prandtl, T aspect, T length_over_dh);

// As published, without entrance factor. Negative below Re 1000: not for use there.
template <class T>
T gnielinski(T reynolds, T prandtl, T darcy_f);

// A duct whose shape is worked out once, for many flows.
template <class G>
class DuctNusselt {
 public:
  DuctNusselt() = default;
  DuctNusselt(const G& aspect, const G& length_over_dh);

  // Any regime, for Re >= 0 and length > 0.
  template <class X>
  Promote<G, X> all_regimes(const X& reynolds, const X& prandtl) const;

 private:
  G developed_ = G(1.0), f_re_{};
  G length_over_dh_ = G(1.0), turbulent_entrance_{};
};

// The same for one.
template <class T>
T nusselt_all_regimes(T reynolds, T prandtl, T aspect, T length_over_dh);

// Round tube, laminar, thermal entrance with developed flow: Hausen (1943).
template <class T>
T hausen(T reynolds, T prandtl, T length_over_bore);

// Round tube, laminar, flow and temperature developing together: Baehr and Stephan (1994).
template <class T>
T baehr_stephan(T reynolds, T prandtl, T length_over_bore);

}  // namespace libloop::law
