// A fan at work on a core, and the leak beside it.
//
// FanElement  inputs   flow, inlet temperature
//             outputs  drop (negative: it drives), outlet, answer air_flow
// Leak        inputs   flow, inlet temperature
//             outputs  drop, outlet
#pragma once

#include <cmath>
#include <memory>

#include "libloop/fluid/air.hpp"
#include "libloop/law/turbomachine.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/fan.hpp"
#include "libloop/part/machine_curve.hpp"
#include "libloop/part/radiator.hpp"

namespace libloop {

inline constexpr double rated_air_density = 1.2;  // kg/m3, standard air of fan tests

class FanElement {
 public:
  const Sheet* fan = nullptr;
  const Sheet* conditions = nullptr;
  double size = 0.12;  // m, of the frame

  template <class T>
  struct Prepared {
    law::Characteristic<T> curve;
    T free_flow{}, pressure{}, speed{}, annulus{}, recovered{}, air_pressure{};
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
    p.speed = at.fan * f.speed_factor;
    // Blades sweep a circle of 96 % of the frame (judgement), less the hub.
    constexpr double swept = 0.7853981633974483 * 0.96 * 0.96;
    p.annulus = size * size * (swept - f.hub_share);
    p.recovered = f.side == 0 ? f.dynamic_recovery : T(0.0);
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
    const T head =
        0.5 * density * velocity * (network::carrying_flow(in[0]) / (density * p.annulus));
    out[0] = -rise - p.recovered * head;
    out[1] = T(in[1]);
    out[2] = volume_flow;
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    if (p.speed == 0.0) {
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

  template <class T>
  struct Prepared {
    T area{}, pressure{};
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Radiator<T> r = take<Radiator>(*radiator, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    constexpr double discharge = 0.6;  // sharp-edged orifice, common practice
    return {discharge * r.leak_share * uncovered * r.face_length() * r.face_width(),
            fluid::standard_pressure(at.altitude)};
  }

  // An orifice; below a Reynolds number of about 10 a leak is laminar, which keeps the
  // slope at rest above zero.
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    using std::sqrt;
    const T density = fluid::air_density<T>(T(in[1]), T(p.pressure));
    const T creep = 10.0 * fluid::air_viscosity(in[1]) * sqrt(p.area);
    const T flow = in[0] * sqrt(in[0] * in[0] + creep * creep);
    out[0] = flow / (2.0 * density * p.area * p.area);
    out[1] = T(in[1]);
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace libloop
