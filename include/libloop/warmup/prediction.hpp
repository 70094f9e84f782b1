// How long a tester must wait: settling times with intervals, what creeps on, what a habit
// leaves, and the slow modes with their owners.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "libloop/model/predict.hpp"
#include "libloop/warmup/warmup.hpp"

namespace libloop {

// "Unchanged by X in Y minutes": the wait ends when the reading has moved by no more than
// `change` within the last `over` seconds.
struct Habit {
  double change = 0.5;  // K
  double over = 60.0;   // s
};

// Of one band, in the chip's reading and in the coolant rise. Seconds; p95 may be infinite
// where more than a twentieth of the samples never settle.
struct Settling {
  double band = 0.0;  // K
  Interval reading, coolant;
};

// A chip beside the first: its settled reading (K), and its wait for each band (s).
struct ChipWait {
  std::string name;
  Interval settled_rise;
  std::vector<Interval> time;  // in the order of the bands
};

struct HabitResult {
  Habit habit;
  Interval time;   // s, when it ends the wait
  Interval error;  // K, settled less reading at that time
};

// One row of the creep table, at typical values.
struct Creep {
  double time = 0.0;  // s after the last change
  double rise = 0.0;  // K
  double left = 0.0;  // K, settled less reading
  double rate = 0.0;  // K/s
};

// What was asked for.
struct WarmupCase {
  Profile profile;
  Start start;
  Duty duty;  // of the last row, to name the case by
};

struct WarmupPoint {
  WarmupCase asked;
  std::optional<Trajectory> typical;
  Interval settled_rise, settled_coolant_rise;  // K
  std::vector<Settling> settling;
  std::vector<ChipWait> other_chips;
  std::vector<HabitResult> habits;
  std::vector<Creep> creep;
  SlowModes slow;
  int samples = 0;          // with an answer
  int without_answer = 0;   // and without
  std::string why_without;  // one sentence
};

struct WarmupPrediction {
  std::vector<WarmupPoint> points;
  std::vector<double> bands;  // K
};

struct WarmupPredictOptions {
  std::vector<double> bands = {1.0, 0.5, 0.1};  // K
  std::vector<Habit> habits = {{0.5, 60.0}, {0.1, 120.0}};
  int samples = 400;  // 0: typical values only
  unsigned long long seed = 1;
  WarmupOptions run;
};

// Throws InputError when a case or an option is out of bounds.
WarmupPrediction predict_warmup(const Model& model, std::span<const WarmupCase> cases,
                                const WarmupPredictOptions& options = {});

}  // namespace libloop
