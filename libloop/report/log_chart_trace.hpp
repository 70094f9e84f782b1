// What a log's picture shows, as numbers: the reading by time, what was set by step.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/log.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/report/chart.hpp"
#include "libloop/report/pictures_parts.hpp"

namespace libloop::report {

struct Trace {
  bool rise = true;             // else the chip's temperature, C
  std::vector<XY> points;       // s; K or C
  std::optional<double> first;  // s, of the first reading
};

// Rise over ambient where one is known: from the log's column (a reading that is missing is that
// before it), else `ambient`, else that of the nearest of the reduction's points.
Trace trace_of(const Log& log, const Reduction* reduction, std::optional<double> ambient);

// The lowest and the highest of each of `columns` equal stretches, in the order of time; what
// has no more than two a stretch is left as it is.
std::vector<XY> thinned(const std::vector<XY>& points, int columns);

// Of one kind (load, fans, pump), a stretch over which it was set alike.
struct SetStretch {
  double from = 0.0, to = 0.0;  // s
  std::string words;            // "180 W"
};
struct SetRow {
  std::string name;  // "load"
  std::vector<SetStretch> stretches;
  std::string range;  // "90 W to 180 W", for where no stretch has room for its words
};
// A row for the load and the fans where the log has them, and for a pump that changes.
std::vector<SetRow> set_rows(const Log& log, const std::vector<Step>& steps, const Speaker& say);

}  // namespace libloop::report
