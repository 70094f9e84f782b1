// The rows of a log as its reduction sees them.
#pragma once

#include <cstddef>
#include <vector>

#include "libloop/evidence/ambient.hpp"
#include "libloop/evidence/log.hpp"
#include "libloop/evidence/steps.hpp"

namespace libloop {

struct Rows {
  const Log& log;
  const Series& chip;
  Ambient ambient;

  Present channel(Channel which, std::size_t begin, std::size_t end) const {
    const Series* series = log.find(which);
    return series == nullptr ? Present{} : present(log, *series, begin, end);
  }
  // Chip over ambient, where both are known.
  Present rise(std::size_t begin, std::size_t end) const {
    Present there = present(log, chip, begin, end);
    Present result;
    for (std::size_t i = 0; i < there.row.size(); ++i) {
      const double air = ambient.at[there.row[i]];
      if (!is_reading(air)) continue;
      result.time.push_back(there.time[i]);
      result.value.push_back(there.value[i] - air);
      result.row.push_back(there.row[i]);
    }
    return result;
  }
};

}  // namespace libloop
