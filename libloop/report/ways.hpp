// A stream as a reader follows it: parts one behind the other, and ways side by side, from
// one place to another, in the direction of the flow.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "libloop/model/model.hpp"

namespace libloop::report {

struct Way {
  enum class Kind { part, series, parallel };
  Kind kind = Kind::part;
  const PartPoint* part = nullptr;  // of Kind::part
  std::vector<Way> ways;            // of the others, two or more
  std::string from, to;             // places, as the flow meets them
};

// Whether the flow runs from `to` to `from` of a part.
bool backwards(const PartPoint& part);
double pressure_behind(const PartPoint& part);  // Pa, where the flow leaves it

// One stream of a point. `ways` is a single one from `start` around to `start` when ways
// only part and meet again; else it holds the ways between the places that remain.
struct Course {
  struct Place {
    double pressure = 0.0;     // Pa
    double temperature = 0.0;  // K, of what meets there
    double through = 0.0;      // m3/s
    int touching = 0;          // ends of parts
  };
  bool air = false;
  std::string start;  // outside, or where a pump takes in all of the coolant
  std::vector<Way> ways;
  std::map<std::string, Place> places;
  std::vector<const PartPoint*> parts;

  bool whole() const { return ways.size() == 1 && ways.front().from == ways.front().to; }
};

// Empty when no part belongs to the stream. The point must outlive it.
Course course_of(const OperatingPoint& point, bool air);

// Whether a place has a name that says something: not a port, not a space within a stack.
bool spoken(const std::string& place);

}  // namespace libloop::report
