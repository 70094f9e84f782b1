// Resistance of a layer and of a contact.
//
// You need this header for paste, solder, walls and the like, heat going straight
// through.
//   layer    R = t / (k A)                    K/W; t m, k W/(m K), A m2
//   contact  R = R'' / A                      K/W; R'' m2 K/W
//   joint    R = (t/k + R'') / A              a filled joint: bond line and both faces
//   bond line of a grease under pressure (Prasher, J. Heat Transfer 123:969, 2001,
//   scaling form; from memory):  t = 1.31e-4 (yield stress / pressure)^0.166  m
// Valid for one-dimensional conduction. Pastes reach 30 to 70 % of the conductivity on
// their label in place (common practice, no source): the caller's range covers it.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

template <class T>
T layer_resistance(T thickness, T conductivity, T area);

template <class T>
T contact_resistance(T specific_resistance, T area);

template <class T>
T joint_resistance(T thickness, T conductivity, T specific_resistance, T area);

// Yield stress and pressure in Pa, both above 0.
template <class T>
T bond_line(T yield_stress, T pressure);

}  // namespace libloop::law
