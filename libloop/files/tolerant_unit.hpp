// What a heading is called and its unit: "CPU temp [°C]", "Load (W)", "fan_rpm", "T_amb/°C".
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace libloop::files {

struct NamedUnit {
  std::string name;  // "CPU temp"
  std::string unit;  // as quantity/unit knows it, "C"; empty when the heading gives none
};

NamedUnit heading_unit(std::string_view heading);

// The unit that people mean, as quantity/unit knows it: "C" of "℃", "Celsius" or "deg C", "rpm" of
// "1/min" or "U/min"; brackets around it do no harm. Empty when it is none.
std::string known_unit(std::string_view written);

// In lower case, umlauts written out, blanks of one kind.
std::string folded(std::string_view text);

// Words of a heading, folded: "FanSpeed_1" gives fan, speed, 1.
std::vector<std::string> words_of(std::string_view heading);

}  // namespace libloop::files
