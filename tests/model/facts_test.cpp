// Facts of the trade and one published bench test, against predictions from a sheet.
// Coolers and bench are invented; no median was tuned to meet any of these.
#include <doctest/doctest.h>

#include "libloop/files/read.hpp"
#include "libloop/model/predict.hpp"
#include "libloop/part/catalogue.hpp"
#include "support/published.hpp"

using namespace libloop;
using libloop::testing::published_overlap;
using libloop::testing::published_range;

namespace {

constexpr const char* practice = "common practice, no source";
constexpr double widest = 0.30;

Cooler sheet(std::initializer_list<std::pair<const char*, const char*>> settings) {
  Cooler cooler;
  cooler.add("fan");
  for (const auto& [path, value] : settings) cooler.set(path, value);
  return cooler;
}

// Gives die and spreader sizes.
Bench bench() { return read_bench(std::string(LIBLOOP_SOURCE) + "/examples/bench-invented.toml"); }

PredictedPoint predicted(const Cooler& cooler, const Duty& duty) {
  const Duty duties[] = {duty};
  return predict(Model(cooler, bench()), duties).points.front();
}

void overlap(const char* check, const char* source, double low, double high, const Interval& i,
             double scale, double width) {
  published_overlap(check, source, low, high, i.p05 * scale, i.p50 * scale, i.p95 * scale, width);
}

}  // namespace

TEST_CASE("a 360-class cooler with a desktop chip at 250 W and full fans") {
  const Cooler cooler = sheet({{"radiator.class", "360"},
                               {"radiator.thickness", "30 mm"},
                               {"radiator.fin_density", "18 fpi"},
                               {"fan.count", "3"},
                               {"fan.rated_speed", "1900 rpm"},
                               {"fan.free_flow", "112 m3/h"},
                               {"fan.static_pressure", "24 Pa"},
                               {"pump.rated_speed", "2800 rpm"},
                               {"tube.length", "400 mm"}});
  const PredictedPoint p = predicted(cooler, {.load = 250.0, .ambient = 296.15});
  overlap("360 class, 250 W: rise by the hottest sensor, K", practice, 45, 65, p.at(Answer::rise),
          1.0, widest);
  overlap("360 class, 250 W: coolant rise, K", practice, 4, 15, p.at(Answer::coolant_rise), 1.0,
          widest);
  overlap("360 class, 250 W: loop flow, L/min", practice, 0.7, 2.0, p.at(Answer::coolant_flow), 6e4,
          0.0);
  const double free_flow = 3 * 112.0;
  overlap("360 class: air flow over the fans' free flow", practice, 1.0 / 3.0, 2.0 / 3.0,
          p.at(Answer::air_flow), 3600.0 / free_flow, widest);
  const Interval& conductance = p.at(Answer::conductance);
  CHECK(conductance.p95 - conductance.p05 <= 2.0 * widest * conductance.p50);
}

TEST_CASE("a 240-class core with fast fans at 3 to 4 L/min") {
  const Cooler cooler = sheet({{"radiator.class", "240"},
                               {"radiator.thickness", "30 mm"},
                               {"fan.count", "2"},
                               {"fan.rated_speed", "2400 rpm"},
                               {"fan.free_flow", "130 m3/h"},
                               {"fan.static_pressure", "34 Pa"},
                               {"pump.free_flow", "9 L/min"},
                               {"pump.shutoff_head", "6.5 m"}});
  const PredictedPoint p = predicted(cooler, {.load = 250.0, .ambient = 296.15});
  published_range("240 class: coolant flow of that test, L/min", "Hsu, Huang & Law 2020", 3.0, 4.0,
                  p.typical[Answer::coolant_flow] * 6e4);
  const Interval& k = p.at(Answer::conductance);
  published_overlap("240 class, 3-4 L/min: mean coolant less intake air, K/W",
                    "Hsu, Huang & Law 2020, derived (a 2003 bench test, its Table 1; 0.024-0.031, "
                    "fan flow not stated: 0.020-0.045)",
                    0.020, 0.045, 1.0 / k.p95, 1.0 / k.p50, 1.0 / k.p05, 0.0);
  published_range("240 class, 3-4 L/min: median, K/W", "Hsu, Huang & Law 2020, derived", 0.020,
                  0.045, 1.0 / k.p50);
}

TEST_CASE("half speed of a fan is 15 to 18 dB quieter") {
  Cooler cooler = sheet({{"radiator.class", "240"}, {"fan.count", "2"}, {"pump.noise", "0 dBA"}});
  Bench quiet = bench();
  quiet.set("bench.background", "0 dBA");
  Solver solver(Model(cooler, quiet));
  const double full = solver.solve({.fan = 1.0})[Answer::noise];
  const double half = solver.solve({.fan = 0.5})[Answer::noise];
  published_range("half fan speed, change of level, dB",
                  "AMCA 301 (50 log) to dipole (60 log), "
                  "from memory",
                  15.05, 18.06, full - half);
}
