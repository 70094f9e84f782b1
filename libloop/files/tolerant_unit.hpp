// What a heading is called and its unit: "CPU temp [°C]", "Load (W)", "fan_rpm", "T_amb/°C".
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace libloop::files {

struct NamedUnit {
  std::string name;  // "CPU temp"
  std::string unit;  // as quantity/unit knows it, "C"; empty when the heading gives none
  // What stands where a unit would and is none: "foo" of "Load [foo]", "x100" of "Fan rpm x100";
  // then `bare` is the name without it, while `name` is the whole heading.
  std::string unread{}, bare{};
};

NamedUnit heading_unit(std::string_view heading);

// The unit that people mean, as quantity/unit knows it: "C" of "℃", "Celsius" or "deg C", "rpm" of
// "1/min" or "U/min"; brackets around it do no harm. Empty when it is none.
std::string known_unit(std::string_view written);

// The unit most like it, as a question: "Did you mean 'kW'?"; may be empty.
std::string near_unit(std::string_view written);

// What stands in a heading where a unit would, and is none; both empty when nothing does.
struct Unread {
  std::string bare, unit;
};
Unread unread_unit(std::string_view heading);

// In lower case, umlauts written out, blanks of one kind.
std::string folded(std::string_view text);

// Words of a heading, folded: "FanSpeed_1" gives fan, speed, 1.
std::vector<std::string> words_of(std::string_view heading);

}  // namespace libloop::files
