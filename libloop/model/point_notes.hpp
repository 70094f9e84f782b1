// What has to be said beside an operating point.
#pragma once

#include <vector>

#include "libloop/model/build.hpp"

namespace libloop {

std::vector<Note> notes_of(const Model::Setup& setup, const Built& built,
                           const std::vector<double>& values, const std::vector<double>& x,
                           const OperatingPoint& point);

}  // namespace libloop
