#include "libloop/part/machine_curve.hpp"

namespace libloop {

ScaledPoints scale_points(const MonotoneCurve& curve) {
  ScaledPoints scaled;
  std::vector<double> x(curve.x().begin(), curve.x().end());
  std::vector<double> y(curve.y().begin(), curve.y().end());
  if (y.back() > 0.0) {
    const std::size_t last = x.size() - 1;
    const double slope = (y[last] - y[last - 1]) / (x[last] - x[last - 1]);
    x.push_back(x[last] - y[last] / slope);
    y.push_back(0.0);
  }
  scaled.free_flow = x.back();
  scaled.shut_off = y.front();
  for (double& flow : x) flow /= scaled.free_flow;
  for (double& rise : y) rise /= scaled.shut_off;
  scaled.points = std::make_shared<MonotoneCurve>(x, y);
  return scaled;
}

double stated_free_flow(const Sheet& machine) {
  if (!machine.given("curve")) return machine.typical("free_flow");
  return scale_points(*machine.entry("curve").curve.points).free_flow;
}

}  // namespace libloop
