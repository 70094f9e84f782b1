// From the lists of a call to duties: loads x fan speeds x pump speeds.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/model.hpp"

namespace libloop::cli {

// As written; lists may hold several values, divided by commas.
struct DutyLists {
  std::vector<std::string> load, fan, pump;
  std::string ambient, altitude;  // empty: 25 C, sea level
};

// The points, loads outermost, for one cooler: rpm become shares of its own rated speeds.
// Throws WrongCall.
std::vector<Duty> duties(const DutyLists& lists, const Cooler& cooler);

}  // namespace libloop::cli
