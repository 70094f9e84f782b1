// A fan at work on a core, and the leak beside it.
//
// FanElement  inputs   flow, inlet temperature
//             outputs  drop (negative: it drives), outlet, answer air_flow
// Leak        inputs   flow, inlet temperature
//             outputs  drop, outlet
#pragma once

#include <memory>

#include "libloop/fluid/air.hpp"
#include "libloop/law/turbomachine.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/fan.hpp"
#include "libloop/part/machine_curve.hpp"
#include "libloop/part/orifice.hpp"
#include "libloop/part/radiator.hpp"

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
    const T rise = law::machine_rise<G, T>(p.curve, volume_flow / p.free_flow, p.speed) *
                   p.pressure * (density / rated_air_density);
    const T velocity = volume_flow / p.annulus;
    // Air that comes back out of the core leaves into the open, where nothing is recovered.
    const X ahead = 0.5 * (network::carrying_flow(in[0]) + in[0]);
    const T head = 0.5 * density * velocity * (ahead / (density * p.annulus));
    out[0] = -rise - p.recovered * head;
    out[1] = T(in[1]);
    out[2] = volume_flow;
  }

  bool rising(const Prepared<double>& p) const { return p.speed > 0.0 && law::rising(p.curve); }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    if (p.idle) {
      notes.add(
          {Note::Kind::state, "fan_stopped",
           fan->path() + " stands still: air passes it only where other fans or warmth drive it",
           fan->path()});
    } else if (p.speed == 0.0) {
      notes.add({Note::Kind::state, "fan_stopped",
                 "a fan stands still: heat leaves by still air and what the others move", "fan"});
    }
    const double density = fluid::air_density(in[1], p.air_pressure);
    if (in[0] / density > 1.02 * p.free_flow * p.speed && p.speed > 0.0) {
      notes.add({Note::Kind::validity, "fan_beyond_free_flow",
                 "air is driven through a fan beyond its free flow", "fan"});
    }
  }
};

class Leak {
 public:
  const Sheet* radiator = nullptr;
  const Sheet* conditions = nullptr;
  double uncovered = 0.0;  // face without a fan that falls to this fan, over the whole face
  double overhang = 0.0;   // m2, of the fan that looks past the core

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

  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace libloop
