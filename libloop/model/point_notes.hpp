// What has to be said beside an operating point.
#pragma once

#include <vector>

#include "libloop/model/build.hpp"

namespace libloop {

std::vector<Note> notes_of(const Model::Setup& setup, const Built& built,
                           const std::vector<double>& values, const std::vector<double>& x,
                           const OperatingPoint& point);

// Of two stable points: the one told, with more flow, and the one reached from rest.
Note several_points(const OperatingPoint& told, const OperatingPoint& from_rest);

}  // namespace libloop
