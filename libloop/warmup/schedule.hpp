// From a profile to what moves: rows of quantities, settled points at them, and the courses
// between them.
#pragma once

#include <vector>

#include "libloop/model/build.hpp"
#include "libloop/model/leakage.hpp"
#include "libloop/network/motion.hpp"
#include "libloop/warmup/warmup.hpp"

namespace libloop {

// From one row to the next, or from the last on.
struct Segment {
  double begin = 0.0, end = 0.0;  // the last one's end is its begin
  bool step = true;               // whether anything jumps where it begins
  std::vector<double> values;     // all quantities at its begin
  network::Course course;
};

struct Schedule {
  std::vector<Segment> segments;
  OperatingPoint settled;          // of the last row
  std::vector<double> settled_at;  // its unknowns
  std::vector<double> first_at;    // unknowns of the first row's settled point; may be empty
  // Rows at which leakage could not be counted from a settled point, s.
  std::vector<double> unreferenced;
};

// `quick`: settled points from where the solver is, without notes.
Schedule schedule_of(const Model& model, Solver& solver, const Leakage& leakage, const Built& built,
                     const std::vector<double>& values, const Profile& profile, bool quick);

}  // namespace libloop
