// A fan at work on a core, and the leak beside it.
//
// FanElement  inputs   flow, inlet temperature
//             outputs  drop (negative: it drives), outlet, answer air_flow
// Leak        inputs   flow, inlet temperature
//             outputs  drop, outlet
#pragma once

#include <algorithm>
#include <cmath>
#include <memory>
#include <span>
#include <string>

#include "libloop/fluid/air.hpp"
#include "libloop/law/turbomachine.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/fan.hpp"
#include "libloop/part/machine_curve.hpp"
#include "libloop/part/orifice.hpp"
#include "libloop/part/radiator.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

inline constexpr double rated_air_density = 1.2;  // kg/m3, standard air of fan tests

class FanElement {
 public:
  const Sheet* fan = nullptr;
  const Sheet* conditions = nullptr;
  double size = 0.12;       // m, of the frame
  bool before_core = true;  // blows into a core, where its outlet's head is recovered in part

  template <class T>
  struct Prepared {
    law::Characteristic<T> curve;
    T free_flow{}, pressure{}, speed{}, annulus{}, recovered{}, air_pressure{};
    bool idle = false;  // stands still whatever the duty
    std::shared_ptr<const MonotoneCurve> points;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Fan<T> f = take<Fan>(*fan, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    Prepared<T> p;
    const MachineCurve<T> machine =
        machine_curve<T>(f.curve, f.free_flow, f.static_pressure, law::CurveKind::fan);
    p.points = machine.points;
    p.curve = machine.curve;
    p.curve.shape = f.curve_shape;
    p.curve.dip = f.stall_dip;
    p.curve.resistance = f.stopped_loss;
    p.curve.exponent = f.pressure_exponent;
    p.free_flow = machine.free_flow * f.flow_factor;
    p.pressure = machine.shut_off * f.pressure_factor;
    p.speed = at.fan * f.speed_share * f.speed_factor;
    p.idle = value_of(f.speed_share) == 0.0;
    // Blades sweep a circle of 96 % of the frame (judgement), less the hub.
    constexpr double swept = 0.7853981633974483 * 0.96 * 0.96;
    p.annulus = size * size * (swept - f.hub_share);
    p.recovered = before_core ? f.dynamic_recovery : T(0.0);
    p.air_pressure = fluid::standard_pressure(at.altitude);
    return p;
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const T density = fluid::air_density<T>(T(in[1]), T(p.air_pressure));
    const T volume_flow = in[0] / density;
    const T share = volume_flow / p.free_flow;
    const T rise = (law::machine_rise<G, T>(p.curve, share, p.speed) - laminar_share * share) *
                   p.pressure * (density / rated_air_density);
    // Air that comes back out of the core leaves into the open, where nothing is recovered.
    const T ahead = 0.5 * (network::carrying_flow(in[0]) + in[0]) / density;
    const T head = 0.5 * density / (p.annulus * p.annulus) *
                   recovering_square<T>(ahead, T(p.free_flow * p.speed));
    out[0] = -rise - p.recovered * head;
    out[1] = T(in[1]);
    out[2] = volume_flow;
  }

  // Whether what it gives, its curve and the recovered head together, grows with flow
  // anywhere. Beyond free flow and in reverse it does not where it does not in between.
  bool rising(const Prepared<double>& p) const {
    if (p.speed <= 0.0) return false;
    if (p.recovered == 0.0) return law::rising(p.curve);
    const double share = recovered_share(p, p.speed);
    if (p.points != nullptr) return law::rising(p.curve) || table_rises(*p.points, share);
    return !surely_falls(p.curve, share) && curve_rises(p.curve, share);
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    if (p.idle) {
      notes.add(
          {Note::Kind::state, "fan_stopped",
           fan->path() + " stands still: air passes it only where other fans or warmth drive it",
           fan->path()});
    } else if (p.speed == 0.0) {
      notes.add({Note::Kind::state, "fan_stopped",
                 "a fan stands still: heat leaves by still air and what the others move",
                 fan->path()});
    }
    const double density = fluid::air_density(in[1], p.air_pressure);
    constexpr double beyond = 1.1;  // a little beyond, the curve's own slope still serves
    if (in[0] / density > beyond * p.free_flow * p.speed && p.speed > 0.0) {
      notes.add({Note::Kind::validity, "fan_beyond_free_flow",
                 "air is driven through a fan beyond its free flow", fan->path()});
    }
    if (recovered_share(p, 1.0) > 0.5) {
      notes.add({Note::Kind::validity, "fan_recovery",
                 fan->path() + " would recover more than half of its static pressure at free flow: "
                               "its flow, pressure and recovery hardly belong to one fan",
                 fan->path()});
    }
  }

 private:
  // The square of the flow whose head is recovered. Beyond the fan's own free flow it levels
  // off towards twice that flow's square: what drives air harder than the fan does is not
  // helped by it without bound.
  template <class T>
  static T recovering_square(const T& ahead, const T& own) {
    if (ahead <= own) return ahead * ahead;
    const T part = own / ahead;
    return own * own * (2.0 - part * part);
  }

  // The head recovered at free flow over the shut-off pressure, both at the same speed.
  static double recovered_share(const Prepared<double>& p, double speed) {
    const double velocity = p.free_flow / p.annulus;
    return p.recovered * 0.5 * rated_air_density * velocity * velocity / p.pressure *
           std::pow(speed, 2.0 - p.curve.exponent);
  }

  // A bound that most fans keep, on the slope of g + share x^2 in three pieces: below the
  // stall dip's lowest point, on its rising side (at most 9.54 steep) and beyond.
  static bool surely_falls(const law::Characteristic<double>& curve, double share) {
    const double a = curve.shape, rest = 4.0 * (1.0 - a), d = curve.dip;
    constexpr double dip = 0.42, over = 0.75;
    return a >= 0.0 && a <= 1.0 && a > 2.0 * share * dip &&
           a + rest * dip * dip * dip > 2.0 * share * over + 9.54 * d &&
           a + rest * over * over * over > 2.0 * share + 0.01 * d;
  }

  static bool curve_rises(const law::Characteristic<double>& curve, double share) {
    constexpr int steps = 500;  // a dip is some 100 of them wide
    for (int i = 0; i <= steps; ++i) {
      const Dual<1> x = Dual<1>::variable(static_cast<double>(i) / steps, 0);
      if (law::characteristic(curve, x).slope[0] + 2.0 * share * x.value > 0.0) return true;
    }
    return false;
  }

  // Between two points the slope is a parabola, known by its values at the ends and half way.
  static bool table_rises(const MonotoneCurve& table, double share) {
    const auto slope = [&](double x) { return table.slope(x) + 2.0 * share * x; };
    const std::span<const double> x = table.x();
    for (std::size_t i = 1; i < x.size(); ++i) {
      const double begin = slope(x[i - 1]), half = slope(0.5 * (x[i - 1] + x[i]));
      const double end = slope(x[i]);
      const double steep = 4.0 * half - 3.0 * begin - end, bend = 2.0 * (begin + end) - 4.0 * half;
      const bool peaks = steep > 0.0 && steep < -2.0 * bend;
      const double most = peaks ? begin - 0.25 * steep * steep / bend : std::max(begin, end);
      if (most > 0.0) return true;
    }
    return false;
  }
};

class Leak {
 public:
  const Sheet* radiator = nullptr;
  const Sheet* conditions = nullptr;
  double uncovered = 0.0;  // face without a fan that falls to this fan, over the whole face
  double overhang = 0.0;   // m2, of the fan that looks past the core
  double size = 0.12;      // m, of the fan's frame
  std::string fan;         // its name

  template <class T>
  using Prepared = Orifice<T>;

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Radiator<T> r = take<Radiator>(*radiator, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    const T beside = r.leak_share * uncovered * r.face_length() * r.face_width();
    return {discharge * (beside + overhang), fluid::standard_pressure(at.altitude)};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    pass_orifice<G, X>(p, in, out);
  }

  void notes(const Prepared<double>&, const double*, Notes& notes) const {
    if (overhang <= 0.0) return;
    const long percent = std::lround(100.0 * overhang / (size * size));
    notes.add({Note::Kind::state, "fan_past_core",
               fan + " looks past the core with " + std::to_string(percent) +
                   " % of its area: without a shroud that air cools nothing",
               fan});
  }
};

}  // namespace libloop
