#include "libloop/evidence/step_readings.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/error.hpp"
#include "libloop/evidence/log_columns_told.hpp"
#include "libloop/model/rated_speed.hpp"

namespace libloop {
namespace {

void check(const Log& log, const Step& step) {
  if (step.begin < step.end && step.end <= log.time.size()) return;
  refuse(Code::call,
         fmt::format("rows {} to {} of a log of {}", step.begin, step.end, log.time.size()),
         "Take a step that steps(log) gave.");
}

std::optional<double> median(const Log& log, Channel channel, const Step& step) {
  const Series* series = log.find(channel);
  if (series == nullptr) return std::nullopt;
  std::vector<double> values;
  for (std::size_t i = step.begin; i < step.end; ++i) {
    if (is_reading(series->values[i])) values.push_back(series->values[i]);
  }
  if (values.empty()) return std::nullopt;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

MeasuredState set_in(const Log& log, const Step& step) {
  MeasuredState set;
  set.load = median(log, Channel::load, step);
  set.preset = median(log, Channel::preset, step);
  set.fan_speed = median(log, Channel::fan_speed, step);
  set.fan_share = median(log, Channel::fan_share, step);
  set.pump_speed = median(log, Channel::pump_speed, step);
  set.pump_share = median(log, Channel::pump_share, step);
  return set;
}

// By row of the step; what comes before its first reading has that reading.
std::vector<double> ambient_by_row(const Log& log, const Step& step,
                                   std::optional<double> ambient) {
  const std::size_t rows = step.end - step.begin;
  if (ambient) return std::vector<double>(rows, *ambient);
  const Series* series = log.find(Channel::ambient);
  const auto has = [](double value) { return is_reading(value); };
  if (series == nullptr || std::none_of(series->values.begin(), series->values.end(), has)) {
    throw InputError(
        Problem{Code::missing,
                "the log has no ambient temperature, and a rise needs one",
                "Give it with --ambient \"23 C\", or log it." + evidence::columns_told(log),
                {log.file, 0, 0, 1, {}}});
  }
  double last = *std::find_if(series->values.begin(), series->values.end(), has);
  std::vector<double> all;
  for (std::size_t i = 0; i < step.end; ++i) {
    if (is_reading(series->values[i])) last = series->values[i];
    if (i >= step.begin) all.push_back(last);
  }
  return all;
}

double share_of(const std::optional<double>& share, const std::optional<double>& speed,
                const RatedSpeed& rated, double otherwise) {
  if (share) return *share;
  if (speed && rated.alike && rated.value > 0.0) return *speed / rated.value;
  return otherwise;
}

}  // namespace

StepReadings step_readings(const Log& log, const Step& step, std::optional<double> ambient) {
  const Series* chip = log.find(Channel::chip);
  if (chip == nullptr) {
    throw InputError(
        Problem{Code::missing,
                "the log has no reading of the chip",
                "Name its column with --column chip=\"Heading\"." + evidence::columns_told(log),
                {log.file, 0, 0, 1, {}}});
  }
  check(log, step);
  const std::vector<double> air = ambient_by_row(log, step, ambient);
  StepReadings out;
  out.begin = log.time[step.begin];
  out.rounding = chip->step;
  out.set = set_in(log, step);
  double sum = 0.0;
  for (std::size_t i = step.begin; i < step.end; ++i) {
    const double around = air[i - step.begin];
    out.times.push_back(log.time[i] - out.begin);
    out.rise.push_back(is_reading(chip->values[i]) ? chip->values[i] - around : no_reading);
    sum += around;
  }
  out.ambient = sum / static_cast<double>(air.size());
  return out;
}

Duty duty_of(const StepReadings& step, const Cooler& cooler, Duty otherwise) {
  const MeasuredState& set = step.set;
  Duty duty = otherwise;
  duty.ambient = step.ambient;
  duty.load = set.load ? *set.load : set.preset.value_or(otherwise.load);
  duty.fan = share_of(set.fan_share, set.fan_speed, rated_speed(cooler, "fan"), otherwise.fan);
  duty.pump = share_of(set.pump_share, set.pump_speed, rated_speed(cooler, "pump"), otherwise.pump);
  return duty;
}

Log until(const Log& log, const Step& step) {
  Log cut = log;
  const std::size_t rows = std::min(step.end, log.time.size());
  cut.time.resize(rows);
  for (Series& series : cut.series) series.values.resize(rows);
  return cut;
}

}  // namespace libloop
