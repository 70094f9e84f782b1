// An end tank of the radiator: a stirred volume whose wet metal follows it, with a link
// to the frame and a leak of heat to still air; and the frame itself.
//
// Tank    inputs   flow, specific heat, tank, frame, air around
//         outputs  drop (none), outlet, heat into tank, frame, air around; capacity of the
//                  tank's coolant and of its wet metal; answer heat_out
// Frame   inputs   frame, air around
//         outputs  heat into frame, air around; capacity of frame; answer heat_out
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "libloop/fluid/liquid.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/cold_plate.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/flow_names.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/material.hpp"
#include "libloop/part/pump.hpp"
#include "libloop/part/radiator.hpp"
#include "libloop/part/tube.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

// Shares of the radiator's passive conductance: tanks, and frame (judgement).
inline constexpr double passive_tanks = 0.7;
inline constexpr double passive_frame = 0.3;

class Tank {
 public:
  // The rest of a sealed loop: a stated total volume counts less all this.
  struct Rest {
    const Sheet *tube = nullptr, *plate = nullptr, *pump = nullptr;
    std::array<const Sheet*, 3> sheets() const { return {tube, plate, pump}; }
  };

  const Sheet* radiator = nullptr;
  const Sheet* coolant = nullptr;
  std::optional<Rest> rest;  // none in a network: there volumes come from geometry
  int tanks = 3;             // of this radiator
  int radiators = 1;         // that share the reserve

  template <class T>
  struct Prepared {
    fluid::Liquid<T> liquid;
    T volume{}, metal{}, link{}, passive{};
    network::Scales<3> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Radiator<T> r = take<Radiator>(*radiator, q);
    const Coolant<T> c = take<Coolant>(*coolant, q);
    const double share = 1.0 / tanks;
    const T own = 2.0 * r.inner_tank_depth() * r.face_width() * r.thickness +
                  c.reserve / static_cast<double>(radiators);
    const T total = rest ? stated_total(r, c, own, q) : own;
    return {liquid_of(c),
            total * share,
            r.wet_metal_mass * share * material::aluminium_specific_heat,
            r.frame_link * share,
            r.passive_conductance * (passive_tanks * share),
            {}};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    const X stream = network::carrying_flow(in[0]) * in[1] * p.scale[carried];
    const X &tank = in[2], &frame = in[3], &around = in[4];
    out[0] = Promote<G, X>(0.0);
    out[1] = Promote<G, X>(tank);
    const Promote<G, X> to_frame = p.scale[link] * p.link * (tank - frame);
    const Promote<G, X> to_air = p.scale[loss] * p.passive * (tank - around);
    out[2] = -stream * tank - to_frame - to_air;
    out[3] = to_frame;
    out[4] = to_air;
    out[5] = p.volume * fluid::density(p.liquid, tank) * in[1];
    out[6] = Promote<G, X>(p.metal);
    out[7] = to_air;
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}

  std::vector<network::Conductance> conductances() const {
    const std::string name = radiator->path();
    return {{"frame link of " + name}, {"tanks of " + name + " to air"}, {named::coolant_flow}};
  }
  std::vector<std::string> stores() const {
    const std::string name = radiator->path();
    return {"coolant in the tanks of " + name, "wet metal of " + name};
  }

 private:
  enum Scaled { link, loss, carried };

  // A stated total volume replaces tanks and reserve; they never fall below a little.
  template <class T>
  T stated_total(const Radiator<T>& r, const Coolant<T>& c, const T& own, const T* q) const {
    if (!c.volume.given) return own;
    const Tube<T> hose = take<Tube>(*rest->tube, q);
    const ColdPlate<T> cold_plate = take<ColdPlate>(*rest->plate, q);
    const Pump<T> p = take<Pump>(*rest->pump, q);
    const T core = r.tubes() * (r.tube_thickness - 2.0 * r.tube_wall) *
                   (r.depth() - 2.0 * r.tube_wall) * r.face_length();
    constexpr double quarter_pi = 0.7853981633974483;
    const T hoses = 2.0 * quarter_pi * hose.bore * hose.bore * hose.length;
    const T elsewhere = core + hoses + cold_plate.volume + p.volume;
    const T stated = c.volume.value - elsewhere;
    constexpr double least = 2e-6;  // m3
    using std::sqrt;
    return 0.5 * (stated + sqrt(stated * stated + 4.0 * least * least));
  }
};

class Frame {
 public:
  const Sheet* radiator = nullptr;

  template <class T>
  struct Prepared {
    T capacity{}, passive{};
    network::Scales<1> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Radiator<T> r = take<Radiator>(*radiator, q);
    return {r.frame_mass * material::aluminium_specific_heat,
            r.passive_conductance * passive_frame,
            {}};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    const Promote<G, X> to_air = p.scale[0] * p.passive * (in[0] - in[1]);
    out[0] = -to_air;
    out[1] = to_air;
    out[2] = Promote<G, X>(p.capacity);
    out[3] = to_air;
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}

  std::vector<network::Conductance> conductances() const {
    return {{"frame of " + radiator->path() + " to air"}};
  }
  std::vector<std::string> stores() const { return {"frame of " + radiator->path()}; }
};

}  // namespace libloop
