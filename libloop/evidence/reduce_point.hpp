// One step of a log to one point.
#pragma once

#include <optional>

#include "libloop/evidence/reduce_rows.hpp"
#include "libloop/evidence/reduction.hpp"

namespace libloop {

struct PointMade {
  std::optional<ReducedPoint> point;
  std::string why_not;
  std::size_t begin = 0, end = 0;  // rows of the window
};

// `followed`: another step comes after it.
PointMade point_of(const Rows& rows, const Step& step, bool followed,
                   const Instruments<double>& instruments, const ReduceOptions& options);

}  // namespace libloop
