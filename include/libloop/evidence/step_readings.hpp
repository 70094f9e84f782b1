// One step of a log as a forecast takes it: rise over ambient by time, and what was set.
//
//   const auto cut = libloop::steps(log);
//   const auto now = libloop::step_readings(log, cut.back());
//   libloop::forecast(now.times, now.rise, courses, {.step = now.rounding})
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/log.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/model/model.hpp"

namespace libloop {

struct StepReadings {
  double begin = 0.0;         // s, in the log
  std::vector<double> times;  // s since it began
  std::vector<double> rise;   // K; no_reading where the log has none
  double rounding = 0.0;      // K, of the chip's reading
  double ambient = 0.0;       // K absolute, mean
  MeasuredState set;          // medians of what was set
  double elapsed() const { return times.empty() ? 0.0 : times.back(); }
};

// `ambient` (K absolute) takes the place of a column; a column's gaps are filled with its last
// reading. Throws InputError: missing without chip or ambient, call when the step has no row or
// lies outside of the log.
StepReadings step_readings(const Log& log, const Step& step, std::optional<double> ambient = {});

// What was set, as the duty of a cooler; what the log does not tell stays as in `otherwise`.
// Speeds in rpm count by the cooler's rated speed, where its machines have one.
Duty duty_of(const StepReadings& step, const Cooler& cooler, Duty otherwise);

// The log without what comes after a step.
Log until(const Log& log, const Step& step);

}  // namespace libloop
