#include "libloop/files/tolerant_unit.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "libloop/quantity/unit.hpp"

namespace libloop::files {
namespace {

struct Case {
  std::string heading, name, unit;
};

TEST_CASE("headings, their names and units") {
  const std::vector<Case> cases = {
      {"CPU temp [°C]", "CPU temp", "C"},
      {"Load (W)", "Load", "W"},
      {"fan_rpm", "fan", "rpm"},
      {"T_amb/°C", "T_amb", "C"},
      {"Noise (dB(A))", "Noise", "dBA"},
      {"Noise dB(A)", "Noise", "dBA"},
      {"Pump {1/min}", "Pump", "rpm"},
      {"Pumpe [U/min]", "Pumpe", "rpm"},
      {"Leistung in W", "Leistung", "W"},
      {"Lüfter in %", "Lüfter", "%"},
      {"temp, C", "temp", "C"},
      {"CPU temp F", "CPU temp", "F"},
      {"temp_c", "temp", "C"},
      {"Sensor F", "Sensor F", ""},
      {"CPU", "CPU", ""},
      {"Fan %", "Fan", "%"},
      {"[s]", "", "s"},
      {"rpm", "", "rpm"},
      {"CPU [MHz]", "CPU [MHz]", ""},
      {"Flow (L/h)", "Flow", "L/h"},
      {"chip F", "chip", "F"},
      {"ambient F", "ambient", "F"},
      {"room_K", "room", "K"},
      {"rise K", "rise", "K"},
      {"power kW", "power", "kW"},
      {"power [mW]", "power", "mW"},
      {"power [kJ/s]", "power", "kJ/s"},
      {"coolant (in)", "coolant (in)", ""},
      {"Date/Time", "Date/Time", ""},
      {"", "", ""},
      {"]", "]", ""},
      {"x]", "x]", ""},
  };
  for (const Case& one : cases) {
    CAPTURE(one.heading);
    const NamedUnit found = heading_unit(one.heading);
    CHECK(found.name == one.name);
    CHECK(found.unit == one.unit);
  }
}

TEST_CASE("what stands where a unit would, and is none") {
  struct Odd {
    std::string heading, bare, unread;
  };
  const std::vector<Odd> odd = {
      {"power [foo]", "power", "foo"},
      {"chip [R]", "chip", "R"},
      {"chip [mC]", "chip", "mC"},
      {"chip (mC)", "chip", "mC"},
      {"power [MW]", "power", "MW"},
      {"fan rpm x100", "fan", "rpm x100"},
      {"fan rpm (x100)", "fan rpm", "x100"},
      {"fan [rpm x100]", "fan", "rpm x100"},
      {"load \xC3\x97 10", "load", "\xC3\x97 10"},
      // Remarks, numbers and words of the trade are no units.
      {"chip (average)", "", ""},
      {"core [1]", "", ""},
      {"temperature [chip]", "", ""},
      {"core 100", "", ""},
      {"CPU [MHz]", "", ""},
      {"fan [rpm]", "", ""},
  };
  for (const Odd& one : odd) {
    CAPTURE(one.heading);
    const NamedUnit found = heading_unit(one.heading);
    CHECK(found.bare == one.bare);
    CHECK(found.unread == one.unread);
  }
}

TEST_CASE("every unit that spellings stand for is one") {
  for (const char* written :
       {"℃",     "Celsius", "deg C", "℉",       "Fahrenheit", "Kelvin", "Watt",    "kW",
        "1/min", "min-1",   "1/s",   "percent", "l/h",        "ml/min", "ml/s",    "L/s",
        "m³/h",  "gpm",     "dB(A)", "dB",      "Sekunden",   "ms",     "minutes", "Stunden",
        "m",     "cm",      "mm",    "k/W",     "(W)",        "[ rpm ]"}) {
    CAPTURE(written);
    const std::string unit = known_unit(written);
    REQUIRE_FALSE(unit.empty());
    CHECK_NOTHROW(parse_unit(unit));
  }
  CHECK(known_unit("furlong").empty());
  CHECK(known_unit("").empty());
}

TEST_CASE("words of headings") {
  using Words = std::vector<std::string>;
  CHECK(words_of("FanSpeed_1") == Words{"fan", "speed", "1"});
  CHECK(words_of("CPUTemp") == Words{"cpu", "temp"});
  CHECK(words_of("Lüfter-Drehzahl") == Words{"luefter", "drehzahl"});
  CHECK(words_of("T_amb") == Words{"t", "amb"});
  CHECK(words_of("  ").empty());
}

}  // namespace
}  // namespace libloop::files
