// Coolants: water and its mixtures with propylene or ethylene glycol.
//
// You need this header when you want density, specific heat, conductivity or viscosity
// of a coolant. A `Liquid` is made once for a kind and a mass fraction; every property is
// then cheap: a cubic in temperature, or for water the formulation itself.
//
// Water: IAPWS SR6-08(2011), liquid at 0.1 MPa, 253.15 to 383.15 K (metastable below
// 273.15 K and above 373 K). Uncertainty of the release: density 1e-6, specific heat
// 0.1 %, viscosity 1 %, conductivity 1.5 %.
// Glycols: Melinder (2010), Properties of Secondary Working Fluids, IIR: a polynomial in
// mass fraction and temperature; 0 to 57 % (ethylene 56 %), freezing point to 40 C. It
// passes through pure water within 1 %, and stays within 1 % in density, 2 % in specific
// heat, 3 % in conductivity and 8 % in viscosity of the ASHRAE tables up to 80 C.
//
// Nothing is extrapolated: outside the windows below the temperature and the fraction that
// enter the fit turn away smoothly (value, slope and curvature are continuous) and tend to
// a limit a little further out. `within` says whether an answer rests on the fit.
//
//   water    253.15 to 383.15 K, tends to 5 K outside
//   glycol   253.15 to 383.15 K, tends to 5 K outside; fraction 0 to 0.6, tends to 0.02 outside
#pragma once

#include <array>

#include "libloop/math/dual.hpp"

namespace libloop::fluid {

enum class LiquidKind { water, propylene_glycol, ethylene_glycol };

// c[0] + c[1] x + c[2] x^2 + c[3] x^3
template <class G>
using Cubic = std::array<G, 4>;

// A coolant of fixed composition. The cubics are in T - base_kelvin and empty for water.
template <class G>
struct Liquid {
  LiquidKind kind = LiquidKind::water;
  double base_kelvin = 0.0;
  Cubic<G> density{};
  Cubic<G> specific_heat{};
  Cubic<G> conductivity{};
  Cubic<G> log_viscosity{};
};

// `mass_fraction` is glycol over mixture, 0 to 1; water ignores it.
template <class G>
Liquid<G> make_liquid(LiquidKind kind, G mass_fraction);

// kg/m3
template <class G, class X>
Promote<G, X> density(const Liquid<G>& liquid, X kelvin);

// J/(kg K)
template <class G, class X>
Promote<G, X> specific_heat(const Liquid<G>& liquid, X kelvin);

// W/(m K)
template <class G, class X>
Promote<G, X> conductivity(const Liquid<G>& liquid, X kelvin);

// Pa s
template <class G, class X>
Promote<G, X> viscosity(const Liquid<G>& liquid, X kelvin);

// Where crystals first form, K.
double freezing_point(LiquidKind kind, double mass_fraction);

// The temperatures between which this coolant is a liquid that the fit knows, K:
// from its freezing point (not below -20 C) to 110 C.
double lowest(LiquidKind kind, double mass_fraction);
double highest(LiquidKind kind);

// Is the composition one the fit knows, and the temperature between lowest and highest?
bool within(LiquidKind kind, double mass_fraction, double kelvin);

}  // namespace libloop::fluid
