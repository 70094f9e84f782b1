// Straight fins: how much of their surface counts.
//
// You need this header for fins between tubes (conduction length = half the fin height,
// no heat through the middle) and for the fins of a cold plate (length = their height).
//
//   m = sqrt(2 h / (k delta))                     fin_parameter, 1/m
//   eta = tanh(m L)/(m L)                         fin_efficiency
//   eta_o = 1 - (A_fin/A)(1 - eta)                surface_efficiency
// h in W/(m2 K) on both faces, k in W/(m K), delta the fin thickness, L in m. At h = 0
// the slope of m by h is infinite though that of eta is not: `plate_fin_efficiency`
// works on (m L)^2 and is smooth there; prefer it.
//
// Valid for thin fins (h delta / k well below 0.1), constant h along the fin, adiabatic
// tip. Source: Kays & London, Compact Heat Exchangers, 1984 (from memory).
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

template <class T>
T fin_parameter(T heat_coefficient, T conductivity, T thickness);

template <class T>
T fin_efficiency(T m_l);

// tanh(m L)/(m L) straight from the numbers of the fin; h >= 0.
template <class G, class X>
Promote<G, X> plate_fin_efficiency(X heat_coefficient, G conductivity, G thickness, G length);

template <class G, class X>
Promote<G, X> surface_efficiency(X fin_efficiency, G fin_share);

}  // namespace libloop::law
