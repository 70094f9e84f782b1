// The problems of one file, as many as a person cares to read.
#pragma once

#include <vector>

#include "libloop/base/error.hpp"

namespace libloop::files {

// Adds a problem. The first beyond 100 becomes a remark that there are more; any later is
// left out.
void tell(Problem problem, std::vector<Problem>& problems);

// Whether nothing more is told.
bool full(const std::vector<Problem>& problems);

}  // namespace libloop::files
