// Points that did not hold: a chip at its limit, a power that sags.
#pragma once

#include <vector>

#include "libloop/evidence/reduce_rows.hpp"
#include "libloop/evidence/reduction.hpp"

namespace libloop {

inline constexpr double close_to_limit = 5.0;  // K, that is a caution: judgement

// A step, the rows of its point's window, and its point.
struct Kept {
  Step step;
  Cut cut;      // that began it; no changes in the first
  Step before;  // that it came after, point or not; empty before the first
  std::size_t begin = 0, end = 0;
  ReducedPoint* point = nullptr;
};

// Fills in the cut that began each, and the step before it.
void begin_by(const std::vector<Cut>& cuts, const std::vector<Step>& steps,
              std::vector<Kept>& kept);

// Sets held and throttled, and tells why. `kept` in order of time.
void judge_held(const Rows& rows, std::vector<Kept>& kept, const ReduceOptions& options);

}  // namespace libloop
