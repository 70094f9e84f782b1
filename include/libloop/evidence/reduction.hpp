// From a log to honest points: steps, steady windows, means with their uncertainty.
//
//   const libloop::Log log = libloop::read_log("monday.csv");
//   const libloop::Reduction r = libloop::reduce(log);
//   r.points[0].rise, r.points[0].u
//
// docs/theory/measurement.md.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/budget.hpp"
#include "libloop/evidence/levels.hpp"
#include "libloop/evidence/log.hpp"
#include "libloop/fluid/liquid.hpp"

namespace libloop {

// A stretch of the log in which nothing is set otherwise: indices of rows, [begin, end).
struct Step {
  std::size_t begin = 0, end = 0;
  std::string cut_by;  // what jumped at its begin: "load from 90 to 180 W"; empty for the first
};

// Where what is set jumps: preset, else load; fans; pump. Without any of them, where the chip's
// reading does.
std::vector<Step> steps(const Log& log);

// Mean of a correlated series (docs/theory/measurement.md).
struct Mean {
  double value = 0.0;
  double u = 0.0;                 // standard uncertainty; that of rounding not in it
  double scatter = 0.0;           // standard deviation of one reading
  double correlation_time = 0.0;  // s; 0: white
  double independent = 1.0;       // so many independent readings would be worth as much
  long long readings = 0;
  double freedom = 0.0;  // degrees of freedom of u
};
// Of readings at equal distances `interval` (s); no_reading is passed over.
Mean mean_of(const std::vector<double>& values, double interval);

// What the coolant carries against what the bench reads.
struct HeatBalance {
  double load = 0.0, u_load = 0.0;        // W
  double carried = 0.0, u_carried = 0.0;  // W, flow x heat capacity x warming
  bool closes = true;                     // within twice the uncertainty of the difference
  std::string limiting;                   // the reading that adds most to it: "coolant flow"
};

struct MeasuredState {  // means of the window, SI; nothing where the log has no such column
  std::optional<double> load, preset, fan_speed, fan_share, pump_speed, pump_share, flow;
  std::optional<double> coolant_rise;  // K, of what the log has of the coolant, over ambient
  std::optional<double> sound;         // dBA, as logged
};

struct ReducedPoint {
  std::size_t step = 0;           // which
  double start = 0.0, end = 0.0;  // s, of the window
  MeasuredState state;
  double chip = 0.0, ambient = 0.0;   // K absolute
  double rise = 0.0, u = 0.0;         // K
  std::vector<Contribution> budget;   // of the rise
  bool settled = false;               // the window creeps and swings no more than it may
  double creep = 0.0, u_creep = 0.0;  // K/s, of the rise
  bool held = true;  // false: the chip's limit or a sagging power ended it; a lower bound
  bool throttled = false;
  std::optional<HeatBalance> balance;
  std::optional<Level> level;      // joined by fan speed
  std::vector<std::string> notes;  // one sentence each
};

struct ReduceOptions {
  double creep = 0.2 / 60.0;         // K/s that a steady window may creep: 0.2 K/min
  double shortest = 60.0;            // s, of a steady window
  double confidence = 0.95;          // with which creep and steadiness are told
  std::optional<double> ambient{};   // K absolute, instead of a column
  std::optional<double> limit{};     // K absolute, where the chip lowers its power
  const Log* ambient_log = nullptr;  // a second file; joined by its own clock, or from its start
  double ambient_shift = 0.0;        // s to add to the second file's clock
  std::optional<fluid::Liquid<double>> coolant{};  // for the heat balance; left out: water
  const std::vector<Level>* levels = nullptr;
};

struct Reduction {
  std::vector<Step> steps;
  std::vector<ReducedPoint> points;  // at most one a step, in order
  std::vector<LeftOut> left_out;     // steps without a point, and why
  std::vector<std::string> notes;
};

// Throws InputError when the log has no chip reading or no ambient is known.
Reduction reduce(const Log& log, const Instruments<double>& instruments,
                 const ReduceOptions& options = {});

}  // namespace libloop
