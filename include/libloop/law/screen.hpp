// Air through a wall: meshes, grilles, holes and gaps.
//
// You need this header where air enters or leaves a case, or leaks past a core.
//
// A thin screen (wire mesh, punched sheet) whose open share is phi takes
//     K = (0.707 sqrt(1 - phi) + 1 - phi)^2 / phi^2
// velocity heads on the face velocity: the air contracts into the holes and expands behind
// them. Idelchik, Handbook of Hydraulic Resistance, thin grids in a straight stream (from
// memory). Valid for sharp-edged holes in a sheet thinner than they are wide and Reynolds
// numbers of the hole above some 400; expect 15 %. Finer and slower meshes take more, half as
// much again at Re 50 and several times as much at Re 10.
//
// An orifice of effective area a, its discharge included, passes m at
//     drop = m sqrt(m^2 + m0^2) / (2 rho a^2),    m0 = 10 mu sqrt(a)
// which is Bernoulli's law with a laminar creep below a Reynolds number of about 10. It is
// odd in m and rises strictly, at rest with the slope m0 / (2 rho a^2). A loss K on the
// velocity in the area A is an orifice of a = A / sqrt(K). The creep is a judgement: it keeps
// a network at rest regular and is without weight at any flow that cools.
#pragma once

namespace libloop::law {

// K of a thin screen on its face velocity, for an open share above 0, up to 1.
template <class T>
T screen_loss(T open_share);

// Pressure drop, Pa: mass flow in kg/s of any sign, effective area in m2 above 0, density in
// kg/m3, viscosity in Pa s.
template <class T>
T orifice_drop(T flow, T area, T density, T viscosity);

}  // namespace libloop::law
