#include "libloop/report/warmup_series.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::report {
namespace {

struct Column {
  Trace trace;
  const char* key;
  const char* unit;
};

constexpr std::array<Column, trace_count> columns = {{
    {Trace::rise, "rise_K", "K"},
    {Trace::coolant_rise, "coolant_rise_K", "K"},
    {Trace::coolant_flow, "coolant_flow_L_per_min", "L/min"},
    {Trace::air_flow, "air_flow_m3_per_h", "m3/h"},
    {Trace::load, "heat_W", "W"},
}};

// Whole multiples of what was asked for, so that rows of a longer run fall on those of a shorter.
double spacing(double end, const SeriesOptions& options) {
  const double rows = std::max(1, options.most - 1);
  const double factor = std::ceil(end / options.every / rows);
  return options.every * std::max(1.0, factor);
}

std::vector<double> times_of(double end, const SeriesOptions& options) {
  std::vector<double> times;
  const double every = spacing(end, options);
  for (int i = 0; i * every < end; ++i) times.push_back(i * every);
  times.push_back(end);
  return times;
}

template <class At>
std::vector<double> values_at(const std::vector<double>& times, At at) {
  std::vector<double> values;
  values.reserve(times.size());
  for (const double t : times) values.push_back(at(t));
  return values;
}

}  // namespace

Duty duty_at(const Profile& profile, double t, const Duty& duty) {
  const std::vector<double>& times = profile.times;
  const auto next = std::lower_bound(times.begin() + 1, times.end(), t);
  const auto after = static_cast<std::size_t>(next - times.begin());
  const bool between = next != times.end() && *next > times[after - 1];
  const double part = between ? (t - times[after - 1]) / (*next - times[after - 1]) : 0.0;
  Duty now = duty;
  const auto take = [&](const char* name, double& value) {
    const auto column = std::find(profile.names.begin(), profile.names.end(), name);
    if (column == profile.names.end()) return;
    const std::vector<double>& rows =
        profile.values[static_cast<std::size_t>(column - profile.names.begin())];
    value = rows[after - 1] + (between ? part * (rows[after] - rows[after - 1]) : 0.0);
  };
  take("conditions.load", now.load);
  take("conditions.ambient", now.ambient);
  take("conditions.fan", now.fan);
  take("conditions.pump", now.pump);
  return now;
}

Series series_of(const WarmupPoint& point, const SeriesOptions& options) {
  if (!(options.every > 0.0) || !std::isfinite(options.every)) {
    throw InputError(Problem{Code::call,
                             fmt::format("a row every {:.6g} s", options.every),
                             "Rows stand at least some time apart, such as 1 s.",
                             {}});
  }
  Series series;
  if (!point.typical || point.typical->steps().empty()) return series;
  const Trajectory& typical = *point.typical;
  series.times = times_of(typical.end(), options);
  for (const Column& column : columns) {
    series.columns.push_back({column.key, values_at(series.times, [&](double t) {
                                return to_unit(typical.at(column.trace, t), column.unit);
                              })});
  }
  const std::vector<ChipPoint>& chips = typical.settled().chips;
  for (std::size_t chip = 1; chip < typical.chips() && chip < chips.size(); ++chip) {
    series.columns.push_back({chips[chip].name + ".rise_K", values_at(series.times, [&](double t) {
                                return typical.chip_rise(chip, t);
                              })});
  }
  return series;
}

}  // namespace libloop::report
