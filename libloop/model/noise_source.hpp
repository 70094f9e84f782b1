// A source of noise: a fan on its core, the pump, the room.
//
// Outputs  answer noise: its energy at the microphone, 10^(L/10)
#pragma once

#include "libloop/law/sound.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/bench.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/fan.hpp"
#include "libloop/part/pump.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

inline constexpr double rated_distance = 1.0;  // m, at which makers rate

// What all sources share: an energy, nothing to read, nothing to say.
template <class T>
struct NoiseEnergy {
  T energy{};
};

class FanNoise {
 public:
  const Sheet *fan = nullptr, *bench = nullptr, *conditions = nullptr;

  template <class T>
  using Prepared = NoiseEnergy<T>;

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Fan<T> f = take<Fan>(*fan, q);
    const BenchItself<T> b = take<BenchItself>(*bench, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    return {law::sound_energy<T>(f.noise + f.seating_noise, f.noise_exponent,
                                 at.fan * f.speed_share * f.speed_factor) *
            law::sound_at_distance<T>(T(rated_distance), b.distance)};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X*, Promote<G, X>* out) const {
    out[0] = Promote<G, X>(p.energy);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

class PumpNoise {
 public:
  const Sheet *pump = nullptr, *bench = nullptr, *conditions = nullptr;

  template <class T>
  using Prepared = NoiseEnergy<T>;

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Pump<T> p = take<Pump>(*pump, q);
    const BenchItself<T> b = take<BenchItself>(*bench, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    return {
        law::sound_energy<T>(p.noise, p.noise_exponent, at.pump * p.speed_share * p.speed_factor) *
        law::sound_at_distance<T>(T(rated_distance), b.distance)};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X*, Promote<G, X>* out) const {
    out[0] = Promote<G, X>(p.energy);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

class RoomNoise {
 public:
  const Sheet* bench = nullptr;

  template <class T>
  using Prepared = NoiseEnergy<T>;

  template <class T>
  Prepared<T> prepare(const T* q) const {
    return {law::sound_gain<T>(take<BenchItself>(*bench, q).background)};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X*, Promote<G, X>* out) const {
    out[0] = Promote<G, X>(p.energy);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace libloop
