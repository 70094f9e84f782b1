// The air's temperature at every row of a log: from a column, a second file, or as given.
#pragma once

#include <string>
#include <vector>

#include "libloop/evidence/reduction.hpp"

namespace libloop {

struct Ambient {
  std::vector<double> at;  // K, by row of the log; no_reading where nothing is known
  double step = 0.0;       // K, rounding of its reading
  bool given = false;      // by option: its movement is not known
  std::vector<std::string> notes;
};

// Straight lines between readings. Throws InputError (code missing) when there are none.
Ambient ambient_of(const Log& log, const ReduceOptions& options);

// How far the ambient moved, in the mean, from `lag` seconds before the rows [begin, end) to them,
// K: what a chip that follows so much later has not seen yet. 0 where nothing is known.
double ambient_moved(const Log& log, const Ambient& ambient, std::size_t begin, std::size_t end,
                     double lag);

}  // namespace libloop
