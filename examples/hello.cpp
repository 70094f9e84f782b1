// The library in 40 lines: a cooler from the numbers of its sheet, a bench, a prediction.
// All numbers are invented.
#include <cstdio>

#include "libloop/base/error.hpp"
#include "libloop/model/predict.hpp"

int main() {
  try {
    libloop::Cooler cooler;
    cooler.add("fan");
    cooler.set("radiator.class", "280");
    cooler.set("radiator.thickness", "38 mm");
    cooler.set("radiator.fin_density", "16 fpi");
    cooler.set("fan.count", "2");
    cooler.set("fan.free_flow", "125 m3/h");
    cooler.set("fan.static_pressure", "20 Pa");

    const libloop::Bench bench = libloop::generic_bench("one-large-die");
    const libloop::Model model(cooler, bench);
    const libloop::Duty duties[] = {{.load = 90}, {.load = 180}, {.load = 270}};
    const libloop::Prediction prediction = libloop::predict(model, duties);

    for (const libloop::PredictedPoint& point : prediction.points) {
      const libloop::Interval& rise = point.at(libloop::Answer::rise);
      std::printf("%3.0f W: %.0f K over ambient (%.0f to %.0f K)\n", point.duty.load, rise.p50,
                  rise.p05, rise.p95);
    }
    std::printf("Most depends on %s.\n", prediction.matters.front().quantity.c_str());
  } catch (const libloop::InputError& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 3;
  }
}
