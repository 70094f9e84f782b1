// The typical course of a warm-up in rows, as JSON and CSV tell it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/report/warmup.hpp"

namespace libloop::report {

// One column of the series: a trace, or the rise of a further chip.
struct SeriesColumn {
  std::string key;  // with its unit: "rise_K", "chip.graphics.rise_K"
  std::vector<double> values;
};

struct Series {
  std::vector<double> times;  // s, from the start; the last is the end
  std::vector<SeriesColumn> columns;
};

// What is set at time t (s): that of the profile, and of `duty` what it does not move. At a step,
// what stands before it.
Duty duty_at(const Profile& profile, double t, const Duty& duty);

// Empty where nothing was followed. Throws InputError when `every` is no time.
Series series_of(const WarmupPoint& point, const SeriesOptions& options);

}  // namespace libloop::report
