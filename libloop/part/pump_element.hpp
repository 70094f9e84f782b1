// The pump in the loop: drives, warms and stores.
//
// Inputs   flow, specific heat, its temperature
// Outputs  drop (negative: it drives), outlet, heat into it, capacity of its coolant and of its
//          body, answer heat_in
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "libloop/fluid/liquid.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/flow_names.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/machine_curve.hpp"
#include "libloop/part/pump.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class PumpElement {
 public:
  const Sheet* pump = nullptr;
  const Sheet* coolant = nullptr;
  const Sheet* conditions = nullptr;

  template <class T>
  struct Prepared {
    fluid::Liquid<T> liquid;
    law::Characteristic<T> curve;
    T free_flow{}, head{}, speed{}, power{}, volume{}, body{};
    bool idle = false;  // stands still whatever the duty
    std::shared_ptr<const MonotoneCurve> points;
    network::Scales<1> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Pump<T> u = take<Pump>(*pump, q);
    const Coolant<T> c = take<Coolant>(*coolant, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    Prepared<T> p;
    p.liquid = liquid_of(c);
    const MachineCurve<T> machine =
        machine_curve<T>(u.curve, u.free_flow, u.shutoff_head, law::CurveKind::pump);
    p.points = machine.points;
    p.curve = machine.curve;
    p.curve.shape = u.curve_shape;
    p.curve.dip = T(0.0);
    p.curve.resistance = u.stopped_loss;
    p.curve.exponent = T(2.0);
    p.free_flow = machine.free_flow;
    p.head = machine.shut_off;
    p.speed = at.pump * u.speed_share * u.speed_factor;
    p.idle = value_of(u.speed_share) == 0.0;
    p.power = u.electric_heat * p.speed * p.speed * p.speed;
    p.volume = u.volume;
    p.body = u.body_capacity;
    return p;
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    constexpr double gravity = 9.80665;
    const T density = fluid::density(p.liquid, in[2]);
    const T volume_flow = in[0] / density;
    const T share = volume_flow / p.free_flow;
    out[0] = -(law::machine_rise<G, T>(p.curve, share, p.speed) - laminar_share * share) * p.head *
             density * gravity;
    out[1] = T(in[2]);
    out[2] = p.power - network::carrying_flow(in[0]) * in[1] * in[2] * p.scale[0];
    out[3] = p.volume * density * in[1];
    out[4] = T(p.body);
    out[5] = T(p.power);
  }

  std::vector<network::Conductance> conductances() const { return {{named::coolant_flow}}; }
  std::vector<std::string> stores() const {
    return {"coolant in " + pump->path(), "body of " + pump->path()};
  }

  bool rising(const Prepared<double>& p) const { return p.speed > 0.0 && law::rising(p.curve); }

  void notes(const Prepared<double>& p, const double*, Notes& notes) const {
    if (p.idle) {
      notes.add(
          {Note::Kind::state, "pump_stopped",
           pump->path() + " stands still: coolant passes it only where another pump drives it",
           pump->path()});
    } else if (p.speed == 0.0) {
      notes.add(
          {Note::Kind::state, "pump_stopped",
           "the pump stands still: no coolant flows, and only still coolant, socket and board "
           "carry heat away",
           pump->path()});
    }
  }
};

}  // namespace libloop
