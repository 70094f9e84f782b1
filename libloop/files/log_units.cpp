#include "libloop/files/log_units.hpp"

#include <algorithm>

#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {

bool is_machine(Channel channel) {
  return channel == Channel::fan_speed || channel == Channel::fan_share ||
         channel == Channel::pump_speed || channel == Channel::pump_share;
}

Channel share_of(Channel channel) {
  if (channel == Channel::fan_speed) return Channel::fan_share;
  if (channel == Channel::pump_speed) return Channel::pump_share;
  return channel;
}

double greatest(const std::vector<TolerantRow>& rows, std::size_t cell, char decimal) {
  double most = 0.0;
  for (const TolerantRow& row : rows) {
    const TolerantNumber number = tolerant_number(row.text(cell), decimal);
    if (number.is_number()) most = std::max(most, number.value);
  }
  return most;
}

std::string unit_in_cells(const std::vector<TolerantRow>& rows, std::size_t cell, char decimal) {
  std::string unit;
  for (const TolerantRow& row : rows) {
    const TolerantNumber number = tolerant_number(row.text(cell), decimal);
    if (!number.is_number() || number.unit.empty()) continue;
    const std::string seen = known_unit(number.unit);
    if (seen.empty() || (!unit.empty() && seen != unit)) return {};
    unit = seen;
  }
  return unit;
}

}  // namespace libloop::files
