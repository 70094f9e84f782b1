// Several flows may balance where a machine's curve rises in part: where to start from to
// find the stable ones, and which of them is told.
//
// Told is the point with the most air through the radiators' fans, then with the most
// coolant; between mirrored ones (two like fans, one of which stalls) the one in which the
// machine whose name comes first moves more. So nothing depends on the order of a file.
#pragma once

#include <vector>

#include "libloop/model/build.hpp"

namespace libloop {

// Whether the curve of a machine rises in part, at the quantities last prepared.
bool several_possible(const Built& built);

// Flows of the loops to start from: every machine far beyond its free flow; then each whose
// curve rises alone so. `fan` and `pump` are the duty's speeds.
std::vector<std::vector<double>> starts_from_much_flow(const Built& built, double fan, double pump);

// Whether two points with their parts differ in the flow of any part.
bool differ(const OperatingPoint& a, const OperatingPoint& b);
// Whether a is told rather than b.
bool before(const OperatingPoint& a, const OperatingPoint& b);

// Of several stable points: the one told, and the one reached from rest, or another.
Note several_points(const OperatingPoint& told, const OperatingPoint& other, bool from_rest);

}  // namespace libloop
