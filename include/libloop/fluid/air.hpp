// Dry air and the standard atmosphere.
//
// You need this header for the air side of a radiator and for what altitude does to it.
//
// Density: ideal gas, R = 8314.32 / 28.9644 J/(kg K). Viscosity: Sutherland's formula.
// Conductivity and pressure: U.S. Standard Atmosphere (1976), the same as ISO 2533 up to
// 0.07 % in conductivity. Any temperature above 0 K gives a finite answer. Against the
// reference formulations (Lemmon et al. 2000, Lemmon and Jacobsen 2004) density lies within
// 0.08 %, viscosity within 0.7 % and conductivity within 1.1 % from -10 to 80 C; within 0.05,
// 0.5 and 0.8 % from 10 to 50 C. Room humidity lowers density by 0.4 to 0.6 %,
// which is left out.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::fluid {

// J/(kg K), dry air at 300 K and 0.1 MPa (Lemmon et al. 2000); 0.3 % more at 80 C.
constexpr double air_specific_heat = 1006.4;

// kg/m3
template <class G, class X>
Promote<G, X> air_density(X kelvin, G pascal);

// Pa s
template <class T>
T air_viscosity(T kelvin);

// W/(m K)
template <class T>
T air_conductivity(T kelvin);

// Pressure at a height above the sea, Pa, 0 to 11 km; finite from -5 to 40 km.
template <class T>
T standard_pressure(T altitude_m);

}  // namespace libloop::fluid
