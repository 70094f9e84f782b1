// Where a noisy reading that is held constant in stretches changes from one to the next.
#pragma once

#include <span>
#include <vector>

namespace libloop {

struct JumpRule {
  double least = 0.0;         // smaller changes are none, in the reading's unit
  double least_share = 0.0;   // nor are smaller ones than so much of the larger level
  bool proportional = false;  // the noise grows with the level
  double rounding = 0.0;      // step to which the reading is rounded
  double window = 7.0;        // s, over which a level is taken to either side
};

struct Jump {
  std::size_t at = 0;  // index of the first reading that has left the old level
  double before = 0.0, after = 0.0;
};

// `times` rise strictly, all values are readings. A burst shorter than half a window is none; a
// ramp, or changes within one window, are one jump at their start.
std::vector<Jump> jumps(std::span<const double> times, std::span<const double> values,
                        const JumpRule& rule);

// The medians of every `size` neighbours, 1 <= size <= values: result[i] belongs to values[i] ..
// values[i + size - 1].
std::vector<double> running_medians(std::span<const double> values, std::size_t size);

}  // namespace libloop
