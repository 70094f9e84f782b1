// The writing within a log's picture: means, what creeps or sags, where it settles.
#pragma once

#include "libloop/evidence/forecast.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/report/chart.hpp"
#include "libloop/report/pictures_parts.hpp"

namespace libloop::report {

// Colours of what is no cooler.
inline constexpr int forecast_colour = 1, mean_colour = 0;

// How much of each value is written: "45.0 ± 0.8 K", "45.0 K", "45.0".
enum class Detail { doubt, unit, number };

// Half of the interval that a point's rise lies in with 95 %, K: as in the report's text.
double half_95(const ReducedPoint& point);

// Finds room for it on a chart whose marks stand; its rules are the begins of all steps but the
// first. `unit` is that of the time axis in s. A value stands over its own step or not at all;
// false where one found no room.
bool write_log(Chart& chart, const Speaker& say, const Reduction* reduction,
               const Forecast* forecast, double unit, Detail detail);

}  // namespace libloop::report
