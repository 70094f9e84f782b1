#include "libloop/files/log_words.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

std::string meaning(const std::string& heading) {
  const Meaning found = meaning_of_heading(heading, heading_unit(heading));
  switch (found.kind) {
    case Meaning::Kind::none:
      return "";
    case Meaning::Kind::time:
      return "time";
    case Meaning::Kind::date:
      return "date";
    case Meaning::Kind::speed:
      return std::string(declared(found.channel).name) + "?";
    case Meaning::Kind::channel:
      break;
  }
  return std::string(declared(found.channel).name);
}

struct Case {
  std::string means;
  std::vector<std::string> headings;
};

TEST_CASE("what columns are called in the trade") {
  const std::vector<Case> cases = {
      {"chip",
       {"chip", "CPU", "CPU temperature", "cpu_temp", "Processor [C]", "Package temp", "Die (°C)",
        "Hot spot", "hotspot", "Junction temperature", "Tj", "T_chip [°C]", "Core temp",
        "Prozessortemperatur", "Package [C]"}},
      {"ambient",
       {"ambient", "Room", "Room temperature", "Air in [°C]", "Intake", "Inlet air", "T_amb", "air",
        "Air temp", "Luft", "Lufttemperatur", "inlet", "Inlet [C]", "Raumtemperatur", "Umgebung",
        "Umgebungstemperatur", "Zuluft"}},
      {"load",
       {"load", "Power", "Power [W]", "Package power", "CPU [W]", "Watts", "Leistung", "Heater",
        "Heat load (W)", "Heizleistung", "Verlustleistung", "CPU package power"}},
      {"preset",
       {"preset", "Set power", "Power target", "Setpoint [W]", "Sollleistung", "Soll [W]"}},
      {"fan_speed?",
       {"fan rpm", "Fan speed", "fan_speed", "Lüfterdrehzahl", "Lüfter [U/min]", "Fans"}},
      {"fan", {"Fan [%]", "fan duty", "Lüfter in %", "Fan PWM"}},
      {"pump_speed?", {"pump", "Pump speed", "Pumpe [1/min]", "Pumpendrehzahl"}},
      {"pump", {"Pump %", "pump duty"}},
      {"coolant", {"coolant", "Water temp", "Liquid [C]", "Kühlmittel", "Wassertemperatur"}},
      {"coolant_hot", {"coolant hot", "coolant_hot", "Water radiator in", "Coolant plate outlet"}},
      {"coolant_cold",
       {"coolant cold", "Water radiator out", "Coolant plate inlet", "Wasser kalt"}},
      {"flow", {"flow", "Flow rate [L/min]", "Coolant flow", "Durchfluss (l/h)", "Pump flow"}},
      {"sound", {"sound", "Noise", "Sound level [dBA]", "Level [dB(A)]", "Schalldruckpegel"}},
      {"time",
       {"time", "Time [s]", "t [s]", "elapsed", "Timestamp", "Zeit", "clock", "Uhrzeit",
        "Date/Time", "seconds", "[s]", "Time stamp (UTC)"}},
      {"date", {"date", "Datum"}},
      {"",
       {"",
        "Sensor 3",
        "CPU clock [MHz]",
        "CPU usage [%]",
        "CPU load [%]",
        "CPU voltage",
        "Fan power [W]",
        "Pump power",
        "Fan [V]",
        "Power limit",
        "Distance to limit",
        "Temperature rise",
        "Delta T [K]",
        "Air out",
        "Air flow [m3/h]",
        "VRM temp",
        "Interval [s]",
        "Humidity",
        "W",
        "°C",
        "chip minus ambient",
        "Target temperature",
        "Meter 1 [W]",
        "Fan on time [s]",
        "Air out"}},
  };
  for (const Case& one : cases) {
    for (const std::string& heading : one.headings) {
      CAPTURE(heading);
      CHECK(meaning(heading) == one.means);
    }
  }
}

TEST_CASE("every channel is known by its own word") {
  for (const DeclaredChannel& channel : channels()) {
    const Meaning found = meaning_of(channel.name, measure_of_unit(known_unit(channel.unit)));
    CAPTURE(channel.name);
    CHECK(found.kind != Meaning::Kind::none);
    if (found.kind == Meaning::Kind::channel) CHECK(found.channel == channel.channel);
    CHECK(channel_called(channel.name) == channel.channel);
  }
}

}  // namespace
}  // namespace libloop::files
