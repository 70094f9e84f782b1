// When more readings are expected to tell the settled value well enough.
#pragma once

#include <optional>

#include "libloop/evidence/weighing.hpp"

namespace libloop {

// Seconds from the last reading on. `half` is half of the interval of the settled value now.
// Nothing when it takes longer than `longest`.
std::optional<double> expected_wait(const Blocks& blocks, const Courses& courses,
                                    const Weighed& weighed, double half,
                                    const ForecastOptions& options, double rounding,
                                    double longest);

}  // namespace libloop
