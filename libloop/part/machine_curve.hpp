// A fan's or pump's curve as the law wants it: free flow, shut-off pressure, and the
// dimensionless characteristic, from curve points or from two figures.
#pragma once

#include <memory>
#include <vector>

#include "libloop/law/turbomachine.hpp"
#include "libloop/quantity/declared.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

template <class T>
struct MachineCurve {
  law::Characteristic<T> curve;
  T free_flow{}, shut_off{};
  std::shared_ptr<const MonotoneCurve> points;  // dimensionless; keeps curve.table alive
};

// A little of what resists is laminar: a slope above zero where a stopped machine's flow is
// zero, in shut-off pressures at free flow. Two stopped fans side by side have one balance.
inline constexpr double laminar_share = 1e-8;

// Points scaled to their own free flow and shut-off; a curve that ends above zero goes on
// with its last slope.
struct ScaledPoints {
  std::shared_ptr<const MonotoneCurve> points;
  double free_flow = 0.0, shut_off = 0.0;
};
ScaledPoints scale_points(const MonotoneCurve& curve);

// Free flow of a fan or a pump as its sheet states it, by curve or by figure, m3/s.
double stated_free_flow(const Sheet& machine);

template <class T>
MachineCurve<T> machine_curve(const Curve& given, const T& free_flow, const T& shut_off,
                              law::CurveKind family) {
  MachineCurve<T> machine;
  if (given.points == nullptr) {
    machine.curve.kind = family;
    machine.free_flow = free_flow;
    machine.shut_off = shut_off;
    return machine;
  }
  const ScaledPoints scaled = scale_points(*given.points);
  machine.points = scaled.points;
  machine.curve.kind = law::CurveKind::table;
  machine.curve.table = machine.points.get();
  machine.free_flow = T(scaled.free_flow);
  machine.shut_off = T(scaled.shut_off);
  return machine;
}

}  // namespace libloop
