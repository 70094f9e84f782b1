// Sound of fans and pumps: speed, number, distance.
//
// You need this header when you add up the noise of a cooler. Everything is done in
// energies, 10^(L/10), because they add and go to zero smoothly when a machine stops;
// levels are for reading.
//   energy(L, E, s) = 10^(L/10) s^(E/10)     level L at rated speed, E dB per decade of
//                                            speed (50 to 60), s relative speed >= 0
//   level(e)        = 10 log10(e + 1e-6)     silence reads -60 dB instead of minus infinity
//   gain(dB)        = 10^(dB/10)             penalties multiply an energy
//   at_distance     = (r_ref/r)^2            free field
// Sources are taken as incoherent: n equal ones add 10 log10 n. Change of sound power
// between similar fans: 50 log10(N2/N1) + 70 log10(D2/D1) + 20 log10(rho2/rho1) (Madison,
// as in AMCA 301; from memory). From sound power to sound pressure at r over a reflecting
// floor: L_W - 10 log10(2 pi r^2).
//
// Expect +-2 dB in a change of speed, +-5 dB in an absolute level without a measured one.
// The exponent holds while the flow stays similar: not across a stall.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

template <class T>
T sound_gain(T decibel);

template <class T>
T sound_energy(T level, T per_decade, T relative_speed);

// Factor on the energy from distance r_ref to r, both in m.
template <class T>
T sound_at_distance(T reference, T distance);

// Level of a sum of energies, dB.
template <class T>
T sound_level(T energy);

// Change of sound power in dB by ratios of speed, diameter and density (Madison).
template <class T>
T sound_power_change(T speed_ratio, T diameter_ratio, T density_ratio);

// Sound pressure level at `distance` m of a source of sound power level `power_level`
// on a reflecting floor, dB.
template <class T>
T sound_over_floor(T power_level, T distance);

}  // namespace libloop::law
