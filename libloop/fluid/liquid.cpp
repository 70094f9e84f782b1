#include "libloop/fluid/liquid.hpp"

#include <algorithm>
#include <cmath>
#include <type_traits>

namespace libloop::fluid {
namespace {

using std::exp;
using std::log;
using std::pow;
using std::tanh;

constexpr double ice_point = 273.15;

// x inside [low, high]; outside it turns away and tends to a limit `reach` further out.
// The tangent of tanh at zero is the line itself, so value, slope and curvature join.
template <class T>
T held(T x, double low, double high, double reach) {
  if (x < low) return low - reach * tanh((low - x) / reach);
  if (x > high) return high + reach * tanh((x - high) / reach);
  return x;
}

constexpr double coldest_fit = 253.15;
constexpr double hottest_fit = 383.15;

template <class T>
T held_temperature(T kelvin) {
  return held(kelvin, coldest_fit, hottest_fit, 5.0);
}

// --- Water, IAPWS SR6-08(2011) -----------------------------------------------------

constexpr double gas_constant = 461.51805;  // J/(kg K)
constexpr double scale_kelvin = 10.0;
constexpr double scale_pascal = 1e5;

// The two singular arguments of the formulation.
template <class T>
T hot_pole(T kelvin) {
  return scale_kelvin / (593.0 - kelvin);
}
template <class T>
T cold_pole(T kelvin) {
  return scale_kelvin / (kelvin - 232.0);
}

// From the volume, the derivative of the Gibbs energy by pressure.
template <class T>
T water_density(T kelvin) {
  const T a = hot_pole(kelvin);
  const T b = cold_pole(kelvin);
  const T a2 = a * a;
  const T hot = a2 * a2 *
                (6.74458446e3 + a * (-2.22521604e5 +
                                     a2 * (1.00231247e8 + a * (-1.63552118e9 + a * 8.32299658e9))));
  const T cold =
      b *
      (5.78545292e-3 +
       b * (-1.53195665e-2 +
            b * (3.11337859e-2 + b * (-4.23546241e-2 + b * (3.38713507e-2 + b * -1.19946761e-2)))));
  const T volume = 1.93763157e-2 + hot + cold;
  return scale_pascal / (gas_constant * scale_kelvin * volume);
}

// Minus T times the second derivative by temperature; hence the factors n (n + 1).
template <class T>
T water_specific_heat(T kelvin) {
  const T a = hot_pole(kelvin);
  const T b = cold_pole(kelvin);
  const T a2 = a * a;
  const T b2 = b * b;
  const T hot = a2 * a2 * a2 *
                (20.0 * -1.661470539e5 + a * (30.0 * 2.708781640e6 + a2 * (56.0 * -1.557191544e8)));
  const T cold =
      b2 * b2 *
      (6.0 * -8.237426256e-1 +
       b * (12.0 * 1.908956353 + b * (20.0 * -2.017597384 + b * (30.0 * 8.546361348e-1))));
  return -gas_constant * (-8.983025854 + kelvin / scale_kelvin * (hot + cold));
}

// Eq. 8
template <class T>
T water_conductivity(T kelvin) {
  const T t = log(kelvin / 300.0);
  return 1.6630 * exp(-1.15 * t) - 1.7781 * exp(-3.4 * t) + 1.1567 * exp(-6.0 * t) -
         0.432115 * exp(-7.6 * t);
}

// Eq. 7: the powers -1.9, -7.7, -19.6 and -40 are powers of one tenth root, which is
// twice as fast as four exponentials.
template <class T>
T water_viscosity(T kelvin) {
  const T r = pow(kelvin / 300.0, -0.1);
  const T r2 = r * r;
  const T r4 = r2 * r2;
  const T r8 = r4 * r4;
  const T r16 = r8 * r8;
  const T r64 = r16 * r16 * (r16 * r16);
  const T r128 = r64 * r64;
  const T r19 = r16 * r2 * r;
  const T r77 = r64 * r8 * r4 * r;
  const T r196 = r128 * r64 * r4;
  const T r400 = r128 * r128 * r128 * r16;
  return 1e-6 * (280.68 * r19 + 511.45 * r77 + 61.131 * r196 + 0.45903 * r400);
}

// A law of the temperature alone, its constants of scalar G without slopes, needs one
// slope, however many its argument carries.
template <class G, class X, class Law>
Promote<G, X> by_temperature(const X& kelvin, Law law) {
  if constexpr (std::is_same_v<G, double> && !std::is_same_v<X, double>) {
    const Dual<1> y = law(held_temperature(Dual<1>::variable(kelvin.value, 0)));
    return kelvin.chain(y.value, y.slope[0]);
  } else {
    return law(held_temperature(kelvin));
  }
}
template <class X, class Law>
X of_water(const X& kelvin, Law law) {
  return by_temperature<double>(kelvin, law);
}

// --- Glycols, Melinder (2010) --------------------------------------------------------

// One term (x - mean_percent)^fraction_power (t - mean_celsius)^temperature_power.
struct Term {
  int fraction_power;
  int temperature_power;
  double density;
  double specific_heat;
  double conductivity;
  double log_viscosity;  // of the viscosity in mPa s
};

struct Mixture {
  double mean_percent;
  double mean_celsius;
  double greatest_fraction;
  std::array<double, 6> freezing_celsius;  // by powers of x - mean_percent
  std::array<Term, 18> terms;
};

// clang-format off
constexpr Mixture ethylene = {
    30.8462, 31.728, 0.56,
    {-15.25, -0.808, -0.01334, -7.293e-5, 1.006e-6, 1.14e-9},
    {{{0, 0, 1034, 3737, 0.472, 0.4705},
      {0, 1, -0.4781, 2.93, 8.903e-4, -0.0255},
      {0, 2, -2.692e-3, -4.675e-3, -1.058e-6, 1.782e-4},
      {0, 3, 4.725e-6, -1.389e-5, -2.789e-9, -7.669e-7},
      {1, 0, 1.311, -17.99, -4.286e-3, 0.02471},
      {1, 1, -6.876e-3, 0.1046, -1.473e-5, -1.171e-4},
      {1, 2, 4.805e-5, -4.147e-4, 1.059e-7, 1.052e-6},
      {1, 3, 1.69e-8, 1.847e-7, -1.142e-10, -1.634e-8},
      {2, 0, 7.49e-5, -0.09933, 1.747e-5, 3.328e-6},
      {2, 1, 7.855e-5, 3.516e-4, 6.814e-8, 1.086e-6},
      {2, 2, -3.995e-7, 5.109e-6, -3.612e-9, 1.051e-8},
      {2, 3, 4.982e-9, -7.138e-8, 2.365e-12, -6.475e-10},
      {3, 0, -1.062e-4, 2.61e-3, 3.017e-8, 1.659e-6},
      {3, 1, 1.229e-6, -1.189e-6, -2.412e-9, 3.157e-9},
      {3, 2, -1.153e-8, -1.643e-7, 4.004e-11, 4.063e-10},
      {4, 0, -9.623e-7, 1.537e-5, -1.322e-9, 3.089e-8},
      {4, 1, -7.211e-8, -4.272e-7, 2.555e-11, 1.831e-10},
      {5, 0, 4.891e-8, -1.618e-6, 2.678e-11, -1.865e-9}}}};

constexpr Mixture propylene = {
    30.7031, 32.7083, 0.57,
    {-13.25, -0.6631, -0.01094, -2.283e-4, -3.409e-6, 1.465e-8},
    {{{0, 0, 1018, 3882, 0.4513, 0.6837},
      {0, 1, -0.5406, 2.699, 7.955e-4, -0.03045},
      {0, 2, -2.666e-3, -1.659e-3, 3.482e-8, 2.525e-4},
      {0, 3, 1.347e-5, -1.032e-5, -5.966e-9, -1.399e-6},
      {1, 0, 0.7604, -13.04, -4.795e-3, 0.03328},
      {1, 1, -9.45e-3, 0.0507, -1.678e-5, -3.984e-4},
      {1, 2, 5.541e-5, -4.752e-5, 8.941e-8, 4.332e-6},
      {1, 3, -1.343e-7, 1.522e-6, 1.493e-10, -1.86e-8},
      {2, 0, -2.498e-3, -0.1598, 2.076e-5, 5.453e-5},
      {2, 1, 2.7e-5, 9.534e-5, 1.563e-7, -8.6e-8},
      {2, 2, -4.018e-7, 1.167e-5, -4.615e-9, -1.593e-8},
      {2, 3, 3.376e-9, -4.87e-8, 9.897e-12, -4.465e-11},
      {3, 0, -1.55e-4, 3.539e-4, -9.083e-8, -3.9e-6},
      {3, 1, 2.829e-6, 3.102e-5, -2.518e-9, 1.054e-7},
      {3, 2, -7.175e-9, -2.95e-7, 6.543e-11, -1.589e-9},
      {4, 0, -1.131e-6, 5e-5, -5.952e-10, -1.587e-8},
      {4, 1, -2.221e-8, -7.135e-7, -3.605e-11, 4.475e-10},
      {5, 0, 2.342e-8, -4.959e-7, 2.104e-11, 3.564e-9}}}};
// clang-format on

constexpr const Mixture& mixture_of(LiquidKind kind) {
  return kind == LiquidKind::ethylene_glycol ? ethylene : propylene;
}

template <class G>
std::array<G, 6> powers(G x) {
  std::array<G, 6> all;
  all[0] = 1.0;
  for (std::size_t i = 1; i < all.size(); ++i) all[i] = all[i - 1] * x;
  return all;
}

template <class G>
G percent_from_mean(const Mixture& mixture, G mass_fraction) {
  return 100.0 * held(mass_fraction, 0.0, 0.6, 0.02) - mixture.mean_percent;
}

template <class G, class X>
Promote<G, X> cubic_at(const Liquid<G>& liquid, const Cubic<G>& c, const X& kelvin) {
  return by_temperature<G>(kelvin, [&](const auto& t) {
    const std::decay_t<decltype(t)> x = t - liquid.base_kelvin;
    return c[0] + x * (c[1] + x * (c[2] + x * c[3]));
  });
}

}  // namespace

template <class G>
Liquid<G> make_liquid(LiquidKind kind, G mass_fraction) {
  Liquid<G> liquid;
  liquid.kind = kind;
  if (kind == LiquidKind::water) return liquid;
  const Mixture& mixture = mixture_of(kind);
  liquid.base_kelvin = ice_point + mixture.mean_celsius;
  const std::array<G, 6> x = powers(percent_from_mean(mixture, mass_fraction));
  for (const Term& term : mixture.terms) {
    const G& weight = x[static_cast<std::size_t>(term.fraction_power)];
    const std::size_t j = static_cast<std::size_t>(term.temperature_power);
    liquid.density[j] += term.density * weight;
    liquid.specific_heat[j] += term.specific_heat * weight;
    liquid.conductivity[j] += term.conductivity * weight;
    liquid.log_viscosity[j] += term.log_viscosity * weight;
  }
  liquid.log_viscosity[0] += std::log(1e-3);  // the fit is in mPa s
  return liquid;
}

template <class G, class X>
Promote<G, X> density(const Liquid<G>& liquid, X kelvin) {
  if (liquid.kind == LiquidKind::water)
    return Promote<G, X>(of_water(kelvin, [](auto t) { return water_density(t); }));
  return cubic_at(liquid, liquid.density, kelvin);
}

template <class G, class X>
Promote<G, X> specific_heat(const Liquid<G>& liquid, X kelvin) {
  if (liquid.kind == LiquidKind::water)
    return Promote<G, X>(of_water(kelvin, [](auto t) { return water_specific_heat(t); }));
  return cubic_at(liquid, liquid.specific_heat, kelvin);
}

template <class G, class X>
Promote<G, X> conductivity(const Liquid<G>& liquid, X kelvin) {
  if (liquid.kind == LiquidKind::water)
    return Promote<G, X>(of_water(kelvin, [](auto t) { return water_conductivity(t); }));
  return cubic_at(liquid, liquid.conductivity, kelvin);
}

template <class G, class X>
Promote<G, X> viscosity(const Liquid<G>& liquid, X kelvin) {
  if (liquid.kind == LiquidKind::water)
    return Promote<G, X>(of_water(kelvin, [](auto t) { return water_viscosity(t); }));
  return exp(cubic_at(liquid, liquid.log_viscosity, kelvin));
}

double freezing_point(LiquidKind kind, double mass_fraction) {
  if (kind == LiquidKind::water) return ice_point;
  const Mixture& mixture = mixture_of(kind);
  const std::array<double, 6> x = powers(percent_from_mean(mixture, mass_fraction));
  double celsius = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) celsius += mixture.freezing_celsius[i] * x[i];
  return ice_point + celsius;
}

double lowest(LiquidKind kind, double mass_fraction) {
  return std::max(coldest_fit, freezing_point(kind, mass_fraction));
}

double highest(LiquidKind) { return hottest_fit; }

bool within(LiquidKind kind, double mass_fraction, double kelvin) {
  const bool known_mixture =
      kind == LiquidKind::water ||
      (mass_fraction >= 0.0 && mass_fraction <= mixture_of(kind).greatest_fraction);
  return known_mixture && kelvin >= lowest(kind, mass_fraction) && kelvin <= highest(kind);
}

template Liquid<double> make_liquid(LiquidKind, double);
template Liquid<Gradient> make_liquid(LiquidKind, Gradient);

template double density(const Liquid<double>&, double);
template Dual<1> density(const Liquid<double>&, Dual<1>);
template Gradient density(const Liquid<double>&, Gradient);
template Gradient density(const Liquid<Gradient>&, double);
template Gradient density(const Liquid<Gradient>&, Gradient);

template double specific_heat(const Liquid<double>&, double);
template Dual<1> specific_heat(const Liquid<double>&, Dual<1>);
template Gradient specific_heat(const Liquid<double>&, Gradient);
template Gradient specific_heat(const Liquid<Gradient>&, double);
template Gradient specific_heat(const Liquid<Gradient>&, Gradient);

template double conductivity(const Liquid<double>&, double);
template Dual<1> conductivity(const Liquid<double>&, Dual<1>);
template Gradient conductivity(const Liquid<double>&, Gradient);
template Gradient conductivity(const Liquid<Gradient>&, double);
template Gradient conductivity(const Liquid<Gradient>&, Gradient);

template double viscosity(const Liquid<double>&, double);
template Dual<1> viscosity(const Liquid<double>&, Dual<1>);
template Gradient viscosity(const Liquid<double>&, Gradient);
template Gradient viscosity(const Liquid<Gradient>&, double);
template Gradient viscosity(const Liquid<Gradient>&, Gradient);

}  // namespace libloop::fluid
