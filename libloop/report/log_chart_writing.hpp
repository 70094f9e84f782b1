// The writing within a log's picture: means, what creeps or sags, where it settles.
#pragma once

#include "libloop/evidence/forecast.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/report/chart.hpp"
#include "libloop/report/pictures_parts.hpp"

namespace libloop::report {

// Colours of what is no cooler.
inline constexpr int forecast_colour = 1, mean_colour = 0;

// Finds room for it on a chart whose marks stand. `unit` is that of the time axis in s. False
// where a value with its doubt found no room: the page is then to be written without doubts.
bool write_log(Chart& chart, const Speaker& say, const Reduction* reduction,
               const Forecast* forecast, double unit, bool with_doubt);

}  // namespace libloop::report
