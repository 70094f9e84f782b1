// Where a log is cut, and what changed there.
#pragma once

#include <vector>

#include "libloop/evidence/reduction.hpp"

namespace libloop {

struct Change {
  Channel channel = Channel::load;
  double before = 0.0, after = 0.0;  // SI
};

struct Cut {
  std::size_t row = 0;
  std::vector<Change> changes;
};

// In order of rows.
std::vector<Cut> cuts(const Log& log);
std::vector<Step> steps_of(const Log& log, const std::vector<Cut>& cuts);

// The readings of a series that are there, with their rows.
struct Present {
  std::vector<double> time, value;
  std::vector<std::size_t> row;
};
Present present(const Log& log, const Series& series, std::size_t begin, std::size_t end);

}  // namespace libloop
