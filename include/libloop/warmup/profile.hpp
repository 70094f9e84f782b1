// How what the tester sets moves in time.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/model.hpp"

namespace libloop {

inline constexpr double longest_profile = 1e8;  // s, three years: nobody waits so long

// Quantities of a model that move, piecewise linear in time, by common rows. Two rows at one
// time are a step. One row: everything stays.
struct Profile {
  std::vector<std::string> names;           // "conditions.load", "fan.front.speed_share"
  std::vector<double> times;                // s, never falling; the first is 0
  std::vector<std::vector<double>> values;  // by name, then by row; SI

  // s, the time of the last row.
  double end() const { return times.empty() ? 0.0 : times.back(); }

  // Throws InputError when rows are missing, times fall, more than two rows stand at one
  // time, a name is unknown or a value lies out of its quantity's bounds.
  void check(const Model& model) const;
};

// All of a duty from the start on.
Profile steady(const Duty& duty);

}  // namespace libloop
