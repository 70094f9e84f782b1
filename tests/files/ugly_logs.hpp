// Ugly logs, each with what it says; all numbers are invented.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "libloop/files/read_log.hpp"

namespace libloop::testing {

using Numbers = std::vector<double>;
inline constexpr double none = -999.0;  // stands for no reading

struct Ugly {
  std::string name;
  std::string text;
  Numbers time;                         // s
  std::map<Channel, Numbers> readings;  // in the channel's unit
  std::vector<LeftOut> left_out;        // reasons: their start
  std::vector<std::string> decisions;   // parts of some
  LogChoice choice{};
};

// Reads it, at once and in pieces, and checks all that it says.
void check(const Ugly& ugly);

LogChoice with_unit(Channel channel, const std::string& unit);
LogChoice with_column(Channel channel, const std::string& heading);
LogChoice with_dates(DateOrder order);
LogChoice with_decimal(char decimal);

}  // namespace libloop::testing
