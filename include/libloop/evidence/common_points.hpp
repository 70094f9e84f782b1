// At what measured coolers can be compared when nobody says.
#pragma once

#include <optional>
#include <span>

#include "libloop/evidence/ranking.hpp"

namespace libloop {

// The load (W) that the most coolers were measured at, within 1 %; of several the highest.
// Throws InputError (code missing) without a point.
double common_load(const MeasuredTable& table);

// The level (dBA) at which the most curves can be read, in the middle of where that is so, whole
// where a whole number will do; nothing when no two curves have one in common.
std::optional<double> common_level(std::span<const NoiseCurve> curves);

}  // namespace libloop
