// Friction in round tubes, and losses at fittings.
//
// You need this header for hoses, barbs, elbows and the ends of tubes. Ducts that are not
// round are in duct.hpp.
//
// Friction factors diverge at zero flow, but f·Re does not: pressure drop is
//     dp = f·Re (mu / (2 rho D^2)) (L / D) m / A          f by Darcy, m the mass flow
// which needs no division by the flow. Write a part with `churchill_f_re` and `two_k_re`;
// `churchill` and `two_k` are the published forms, for checks.
//
// Churchill (1977), Chem. Eng. 84(24):91, covers laminar, transitional and turbulent flow
// and any roughness in one smooth formula, within 2.5 % of Colebrook above Re 4000; between
// 2000 and 4000 the flow itself is uncertain by some 30 %. f·Re = 64 exactly at Re = 0.
//
// Hooper (1981), Chem. Eng. 88(17):96: K = K1/Re + K_infinity (1 + 25.4 mm / bore). Loops
// of the size of a cooler run at Re 1000 to 6000, where a constant K is too small. 30 %.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

// Darcy f times Re, for Re >= 0 and roughness over bore 0 to 0.1.
template <class G, class X>
Promote<G, X> churchill_f_re(X reynolds, G relative_roughness);

// Darcy f, for Re > 0.
template <class T>
T churchill(T reynolds, T relative_roughness);

// What Churchill adds to 1 under his twelfth root: (f·Re of turbulent flow / 64)^12. It
// vanishes in laminar flow. Use it to join another laminar law to turbulent flow.
template <class G, class X>
Promote<G, X> churchill_turbulent_term(X reynolds, G relative_roughness);

// K times Re of a fitting, for Re >= 0; the loss is K rho V^2 / 2 on the bore's velocity.
template <class G, class X>
Promote<G, X> two_k_re(X reynolds, G k1, G k_infinity, G bore_m);

// K of a fitting, for Re > 0.
template <class T>
T two_k(T reynolds, T k1, T k_infinity, T bore_m);

// K of a step in area on the velocity in the SMALLER area; area_ratio = smaller / larger.
// Expansion: Borda-Carnot, exact for flat profiles. Contraction: 0.5 (1 - ratio), a
// handbook value good to 25 %.
template <class T>
T sudden_expansion(T area_ratio);
template <class T>
T sudden_contraction(T area_ratio);

}  // namespace libloop::law
