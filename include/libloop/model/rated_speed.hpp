// The speed by which rpm become a share of rated speed.
#pragma once

#include <string>
#include <string_view>

#include "libloop/model/cooler.hpp"

namespace libloop {

// What all fans, or all pumps, of a cooler share.
struct RatedSpeed {
  std::string machines;  // "fans", "pump", "pumps"
  double value = 0.0;    // rev/s, of the first; 0 when there are none
  bool given = true;     // of each
  bool alike = true;     // all have the same
};

// `kind` is "fan" or "pump".
RatedSpeed rated_speed(const Cooler& cooler, std::string_view kind);

}  // namespace libloop
