// What the columns of a log were taken for, for who misses one.
#pragma once

#include <string>

#include "libloop/evidence/log.hpp"

namespace libloop::evidence {

// " Its columns: 'CPU' is chip, 'Power' is load. Columns not used: 'Sensor 3'."; empty for a log
// that tells of none.
std::string columns_told(const Log& log);

}  // namespace libloop::evidence
