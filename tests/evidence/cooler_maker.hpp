// Measured tables of invented coolers with closed forms:
//   rise = (a + b/n) P + c P^2,  level = k + m ln n
#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "libloop/evidence/instruments.hpp"
#include "libloop/evidence/measured.hpp"

namespace libloop::testing {

struct ClosedCooler {
  std::string title = "Invented A";
  double a = 0.12, b = 0.06, c = 0.0;  // K/W, K/W at full share, K/W2
  double k = 38.0, m = 22.0;           // dBA at full share, dB per unit of ln(share)

  double rise(double share, double load) const { return (a + b / share) * load + c * load * load; }
  double level(double share) const { return k + m * std::log(share); }
  double share_at_level(double at) const { return std::exp((at - k) / m); }
  double share_at_rise(double at, double load) const { return b / (at / load - c * load - a); }
};

inline MeasuredPoint point(const ClosedCooler& cooler, double share, double load, int mount = 1) {
  MeasuredPoint out;
  out.cooler = cooler.title;
  out.load = load;
  out.fan_share = share;
  out.rise = cooler.rise(share, load);
  out.u = 0.2;
  out.level = cooler.level(share);
  out.mount = mount;
  return out;
}

inline void add(MeasuredTable& table, const ClosedCooler& cooler,
                const std::vector<double>& shares = {0.3, 0.5, 0.7, 1.0},
                const std::vector<double>& loads = {100, 180, 250}, int mounts = 1) {
  for (int mount = 1; mount <= mounts; ++mount) {
    for (const double load : loads) {
      for (const double share : shares) table.points.push_back(point(cooler, share, load, mount));
    }
  }
}

inline Instruments<double> usual_meters() { return instruments(Bench()); }

}  // namespace libloop::testing
