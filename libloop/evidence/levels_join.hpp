// The sound level at a measured point, from a table by fan speed.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/levels.hpp"

namespace libloop {

struct JoinedLevel {
  std::optional<Level> level;
  std::string note;  // why there is none, or what was done; may be empty
};

// The nearest within 3 % of the speed; else straight in the logarithm of speed between its
// neighbours (sound grows with it: AMCA 301, from memory); else none. By share of rated speed
// where both have it, else by speed.
JoinedLevel level_at(const std::vector<Level>& levels, std::optional<double> fan_share,
                     std::optional<double> fan_speed);

}  // namespace libloop
