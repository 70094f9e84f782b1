// What the numbers of a column tell of its unit.
#pragma once

#include <string>
#include <vector>

#include "libloop/evidence/channel.hpp"
#include "libloop/files/tolerant_cells.hpp"

namespace libloop::files {

// No fan or pump of a cooler that turns at all is slower, and no share of rated speed is greater:
// judgement.
inline constexpr double least_rpm = 150.0;
inline constexpr double greatest_share = 1.5;

bool is_machine(Channel channel);   // a speed of fans or pump, or its share
Channel share_of(Channel channel);  // of a speed its share; any other is itself

// The greatest number of a column; 0 without any.
double greatest(const std::vector<TolerantRow>& rows, std::size_t cell, char decimal);

// The unit that stands behind the numbers of a column, as quantity/unit knows it; empty when
// there is none, or not the same in all.
std::string unit_in_cells(const std::vector<TolerantRow>& rows, std::size_t cell, char decimal);

}  // namespace libloop::files
