// What a reading of a chip counts from: the probe that reads ambient, and the air around.
//
// Inputs   air around
// Outputs  answers rise, cold coolant, sensor, surroundings
#pragma once

#include "libloop/network/circuit.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/sensor.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class Reading {
 public:
  const Sheet* sensor = nullptr;
  const Sheet* conditions = nullptr;

  template <class T>
  struct Prepared {
    bool probe_at_intake = true;
    T ambient{}, probe_offset{};
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Sensor<T> reading = take<Sensor>(*sensor, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    return {reading.probe == 0, at.ambient, reading.probe_offset};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const T probe = p.probe_at_intake ? T(in[0]) : T(p.ambient);
    out[0] = -probe - p.probe_offset;
    out[1] = -T(in[0]);
    out[2] = -T(p.probe_offset);
    out[3] = in[0] - probe;
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace libloop
