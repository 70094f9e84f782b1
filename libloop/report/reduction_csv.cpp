#include <fmt/format.h>

#include <chrono>
#include <cmath>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/reduction.hpp"
#include "libloop/report/reduction_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

std::string in_unit(const std::optional<double>& value, const char* unit) {
  return value ? exact(settled(to_unit(*value, unit))) : "";
}

// "2026-01-31", of the window's start on the log's own clock; empty without one.
std::string date_of(const Log& log, const ReducedPoint& point) {
  if (!log.began) return {};
  const auto day = static_cast<int>(std::floor((*log.began + point.start) / 86400.0));
  const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{day}}};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

std::string stem(const std::string& path) {
  const std::string name = file_name(path);
  const std::size_t dot = name.find_last_of('.');
  return dot == std::string::npos || dot == 0 ? name : name.substr(0, dot);
}

std::string level_cell(const ReducedPoint& point) {
  if (point.level) return (point.level->bound ? "<" : "") + exact(settled(point.level->level));
  return point.state.sound ? exact(settled(*point.state.sound)) : "";
}

// A point that the chip did not hold counts for the load that was asked for, not for what was left
// of it.
std::optional<double> load_of(const ReducedPoint& point) {
  const MeasuredState& state = point.state;
  if (point.throttled && state.preset) return state.preset;
  return state.load ? state.load : state.preset;
}

}  // namespace

std::string csv(std::span<const ReducedLog> logs, const TableWords& words) {
  need_logs(logs);
  std::string out = csv_line({"cooler", "load [W]", "fan [%]", "fan speed [rpm]", "rise [K]",
                              "u [K]", "ambient [C]", "noise [dBA]", "mount", "held", "date",
                              "settled", "preset [W]", "start [s]", "end [s]", "log"});
  for (const PointAt& at : points_of(logs)) {
    const ReducedPoint& point = *at.point;
    const Log& log = logs[at.log].log;
    const MeasuredState& state = point.state;
    out += csv_line(
        {words.cooler.empty() ? stem(log.file) : words.cooler, in_unit(load_of(point), "W"),
         in_unit(state.fan_share, "%"), in_unit(state.fan_speed, "rpm"), exact(settled(point.rise)),
         exact(settled(combined(point.budget, Shared::no))), in_unit(point.ambient, "C"),
         level_cell(point), std::to_string(words.mount), point.held ? "yes" : "no",
         date_of(log, point), point.settled ? "yes" : "no", in_unit(state.preset, "W"),
         exact(settled(point.start)), exact(settled(point.end)), file_name(log.file)});
  }
  return out;
}

}  // namespace libloop::report
