// Logs with a known truth: a cooler of two time constants, read with noise and rounding.
// All values are invented.
#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "evidence/noise_maker.hpp"
#include "libloop/evidence/log.hpp"

namespace libloop::testing {

inline constexpr double celsius = 273.15;

struct SetTo {
  double seconds = 600.0, load = 100.0, fans = 1.0;  // W, of rated speed
};

struct LogMaker {
  std::vector<SetTo> plan;
  double interval = 1.0;
  double ambient = celsius + 22.0, ambient_slope = 0.0;  // K, K/s
  double noise = 0.3, noise_time = 0.0, rounding = 0.0;  // of the chip: K, s, K
  double load_noise = 0.01, speed_noise = 0.015;         // relative
  double load_drift = 0.0;                               // relative, per s since the step
  double slow = 150.0, quick = 20.0, quick_share = 0.6;  // s, s, of the rise
  double full_speed = 30.0;                              // 1/s
  unsigned seed = 1;
  std::vector<std::size_t> begins{};  // rows at which the plan moved
  std::vector<double> settled{};      // rise of each part of the plan in the end

  static double resistance(double fans) { return 0.10 + 0.08 / fans; }  // K/W

  Log make() {
    Log log;
    log.file = "made.csv";
    for (const Channel c : {Channel::chip, Channel::ambient, Channel::load, Channel::fan_speed}) {
      Series series;
      series.channel = c;
      series.heading = std::string(declared(c).name);
      log.series.push_back(series);
    }
    fill(log);
    read(log);
    return log;
  }

 private:
  void fill(Log& log) {
    double quick_part = 0.0, slow_part = 0.0, t = 0.0;
    begins.clear(), settled.clear();
    for (const SetTo& part : plan) {
      begins.push_back(log.time.size());
      const double rise = part.load * resistance(part.fans);
      settled.push_back(rise);
      for (double since = 0.0; since < part.seconds - 1e-9; since += interval, t += interval) {
        log.time.push_back(t);
        const double ambient_now = ambient + ambient_slope * t;
        log.series[0].values.push_back(ambient_now + quick_part + slow_part);
        log.series[1].values.push_back(ambient_now);
        log.series[2].values.push_back(part.load * (1.0 + load_drift * since));
        log.series[3].values.push_back(part.fans * full_speed);
        quick_part += (rise * quick_share - quick_part) * (1.0 - std::exp(-interval / quick));
        slow_part += (rise * (1.0 - quick_share) - slow_part) * (1.0 - std::exp(-interval / slow));
      }
    }
  }

  void read(Log& log) const {
    const int n = static_cast<int>(log.time.size());
    const std::vector<double> chip = correlated_noise(n, noise_time, interval, seed);
    NormalNoise normal(seed + 77777u);
    for (std::size_t i = 0; i < log.time.size(); ++i) {
      double& reading = log.series[0].values[i];
      reading += noise * chip[i];
      if (rounding > 0.0) {
        reading = celsius + std::round((reading - celsius) / rounding) * rounding;
      }
      log.series[2].values[i] *= 1.0 + load_noise * normal();
      log.series[3].values[i] *= 1.0 + speed_noise * normal();
    }
    log.series[0].step = rounding;
  }
};

inline Series& series_of(Log& log, Channel channel) {
  for (Series& one : log.series) {
    if (one.channel == channel) return one;
  }
  Series series;
  series.channel = channel;
  series.values.assign(log.time.size(), no_reading);
  log.series.push_back(series);
  return log.series.back();
}

inline void drop(Log& log, Channel channel) {
  for (std::size_t i = 0; i < log.series.size(); ++i) {
    if (log.series[i].channel == channel) {
      log.series.erase(log.series.begin() + static_cast<std::ptrdiff_t>(i));
    }
  }
}

}  // namespace libloop::testing
