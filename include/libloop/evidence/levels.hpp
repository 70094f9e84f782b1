// A table of sound levels by fan speed, and what is left of it after the room and the meter.
//
//   L = 10 log10(10^(L_read/10) - 10^(L_room/10))    energies subtract
//   L(d0) = L(d) + 20 log10(d/d0)                     a small source in the open
//
// A reading within 3 dB of the room or of the meter's floor is an upper bound: common practice,
// no source (ISO 3744:2010, 8.2.3, from memory, goes no lower than 6 dB for its grade).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/part/instruments.hpp"

namespace libloop {

struct LevelReading {
  std::optional<double> fan_speed{};   // 1/s of a revolution (SI of rpm)
  std::optional<double> fan_share{};   // of rated speed
  double level = 0.0;                  // dBA, as read
  std::optional<double> background{};  // dBA, with the cooler off
  std::optional<double> distance{};    // m
  int line = 0;                        // of the file
};

struct LevelTable {
  std::string file;
  std::vector<LevelReading> readings;
  std::vector<std::string> decisions;
};

struct Level {
  std::optional<double> fan_speed{}, fan_share{};
  double level = 0.0;  // dBA at the wanted distance; of a bound what it is at most
  double u = 0.0;      // dB, standard uncertainty
  bool bound = false;  // only known to be no higher
  int readings = 1;
  std::vector<std::string> notes{};
};

struct LevelOptions {
  double distance = 1.0;               // m, of the result
  std::optional<double> background{};  // dBA, where the table has none
  std::optional<double> read_at{};     // m, where the table has none
};

// One a fan speed (repeated readings are averaged as energies), slowest first.
std::vector<Level> levels(const LevelTable& table, const Instruments<double>& instruments,
                          const LevelOptions& options = {});

}  // namespace libloop
