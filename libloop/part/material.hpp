// Densities and specific heats of the usual metals, for stored heat only.
//
// Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, Table A.1, at 300 K, from
// memory. Stored heat enters the warm-up, never the steady state.
#pragma once

namespace libloop::material {

inline constexpr double aluminium = 2702.0 * 903.0;  // J/(m3 K)
inline constexpr double copper = 8933.0 * 385.0;
inline constexpr double silicon = 2330.0 * 712.0;
inline constexpr double aluminium_specific_heat = 903.0;  // J/(kg K)

}  // namespace libloop::material
