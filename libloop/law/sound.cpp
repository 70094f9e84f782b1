#include "libloop/law/sound.hpp"

#include <cmath>

#include "libloop/law/lift.hpp"

namespace libloop::law {
namespace {

using std::exp;
using std::log;
using std::log10;

constexpr double bel = 0.2302585092994046;  // ln(10)/10
constexpr double silence = 1e-6;

}  // namespace

template <class T>
T sound_gain(T decibel) {
  return exp(bel * decibel);
}

template <class T>
T sound_energy(T level, T per_decade, T relative_speed) {
  return exp(bel * level + 0.1 * per_decade * log(relative_speed + tiny));
}

template <class T>
T sound_at_distance(T reference, T distance) {
  const T ratio = reference / distance;
  return ratio * ratio;
}

template <class T>
T sound_level(T energy) {
  return 10.0 * log10(energy + silence);
}

template <class T>
T sound_power_change(T speed_ratio, T diameter_ratio, T density_ratio) {
  return 50.0 * log10(speed_ratio) + 70.0 * log10(diameter_ratio) + 20.0 * log10(density_ratio);
}

template <class T>
T sound_over_floor(T power_level, T distance) {
  return power_level - 10.0 * log10(2.0 * 3.141592653589793 * distance * distance);
}

template double sound_gain(double);
template double sound_energy(double, double, double);
template double sound_at_distance(double, double);
template double sound_level(double);
template double sound_power_change(double, double, double);
template double sound_over_floor(double, double);

template Dual<1> sound_gain(Dual<1>);
template Dual<1> sound_energy(Dual<1>, Dual<1>, Dual<1>);
template Dual<1> sound_at_distance(Dual<1>, Dual<1>);
template Dual<1> sound_level(Dual<1>);
template Dual<1> sound_power_change(Dual<1>, Dual<1>, Dual<1>);
template Dual<1> sound_over_floor(Dual<1>, Dual<1>);

template Gradient sound_gain(Gradient);
template Gradient sound_energy(Gradient, Gradient, Gradient);
template Gradient sound_at_distance(Gradient, Gradient);
template Gradient sound_level(Gradient);
template Gradient sound_power_change(Gradient, Gradient, Gradient);
template Gradient sound_over_floor(Gradient, Gradient);

}  // namespace libloop::law
