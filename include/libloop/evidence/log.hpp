// A log: what was read while a cooler ran, by time.
#pragma once

#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/channel.hpp"

namespace libloop {

// A reading that is not there.
inline constexpr double no_reading = std::numeric_limits<double>::quiet_NaN();
inline bool is_reading(double value) { return !std::isnan(value); }

struct Series {
  Channel channel = Channel::chip;
  std::string heading;         // as the file calls it
  std::vector<double> values;  // SI, by row; no_reading where the cell holds none
  // The step to which values are rounded, in SI (0.1 K); 0: none is seen.
  double step = 0.0;
};

// Rows or cells not used, and why.
struct LeftOut {
  long long count = 0;
  std::string reason;  // "rows whose time stands still"
};

struct Log {
  std::string file;
  std::vector<double> time;    // s since the first row; rises strictly
  std::vector<Series> series;  // one a channel
  // s since 1970-01-01 00:00 on the log's own clock, of the first row; nothing when the file
  // counts from its start or gives no date.
  std::optional<double> began;
  // Rows of the file behind one row here: a very long log is kept as means of so many.
  int merged = 1;
  long long rows_read = 0;             // data rows of the file
  std::vector<LeftOut> left_out;       // of them
  std::vector<std::string> decisions;  // how the file was read: one sentence each

  const Series* find(Channel channel) const {
    for (const Series& one : series) {
      if (one.channel == channel) return &one;
    }
    return nullptr;
  }
  bool empty() const { return time.empty(); }
};

}  // namespace libloop
