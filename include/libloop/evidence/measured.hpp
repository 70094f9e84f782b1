// A table of measured points of many coolers: the tester's spreadsheet.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/log.hpp"

namespace libloop {

struct MeasuredPoint {
  std::string cooler;               // its title
  double load = 0.0;                // W
  std::optional<double> fan_speed;  // SI of rpm
  std::optional<double> fan_share;  // of rated speed
  double rise = 0.0;                // K
  std::optional<double> u;          // K, standard uncertainty of this point alone, where stated
  std::optional<double> level;      // dBA
  bool level_bound = false;         // the level is an upper bound
  std::optional<double> ambient;    // K absolute
  int mount = 1;
  bool held = true;        // false: the chip's limit ended it; the rise is a lower bound
  std::string date;        // as written; names the state of the bench; may be empty
  double day = 0.0;        // days since 1970-01-01 of `date`; 0 without one
  int line = 0;            // of the file
  bool predicted = false;  // from a cooler's file: evidence/expected.hpp
  bool settled = true;     // false: read before the rise stood still
};

struct Price {
  std::string cooler, text;      // as written: "89 EUR"
  std::optional<double> amount;  // its number
  std::string unit;              // "EUR"; may be empty
};

struct MeasuredTable {
  std::string file;
  std::vector<MeasuredPoint> points;
  std::vector<Price> prices;
  long long rows_read = 0;
  std::vector<LeftOut> left_out;
  std::vector<std::string> decisions;
};

}  // namespace libloop
