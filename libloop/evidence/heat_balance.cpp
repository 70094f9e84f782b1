#include "libloop/evidence/heat_balance.hpp"

#include <array>
#include <cmath>

namespace libloop {
namespace {

double u_of(const MeanReading& reading, double half_width) {
  return std::hypot(reading.u, rectangular(half_width));
}

// Of density times specific heat, relative: what fluid/liquid.hpp states of its fits (water 0.1 %;
// glycols 1 % and 2 %), taken as half-widths.
double u_capacity(const fluid::Liquid<double>& coolant) {
  const bool water = coolant.kind == fluid::LiquidKind::water;
  return rectangular(water ? 0.001 : std::hypot(0.01, 0.02));
}

}  // namespace

HeatBalance heat_balance(const BalanceReadings& r, const Instruments<double>& instruments,
                         const fluid::Liquid<double>& coolant) {
  const double mean = (r.hot.value + r.cold.value) / 2.0, warming = r.hot.value - r.cold.value;
  const double capacity = fluid::density(coolant, mean) * fluid::specific_heat(coolant, mean);
  HeatBalance balance;
  balance.load = r.load.value;
  balance.u_load = u_of(r.load, instruments.load.value * std::abs(r.load.value));
  balance.carried = capacity * r.flow.value * warming;
  const double u_warming =
      std::hypot(u_of(r.hot, instruments.coolant.value), u_of(r.cold, instruments.coolant.value));
  const double u_flow = u_of(r.flow, instruments.flow.value * std::abs(r.flow.value));
  const std::array<Contribution, 4> doubts = {
      {{"coolant flow", capacity * std::abs(warming) * u_flow},
       {"coolant temperatures", capacity * std::abs(r.flow.value) * u_warming},
       {"coolant's heat capacity", std::abs(balance.carried) * u_capacity(coolant)},
       {"load", balance.u_load}}};
  balance.u_carried = combined(std::span(doubts).first(3));
  const Contribution* largest = doubts.data();
  for (const Contribution& one : doubts) {
    if (one.u > largest->u) largest = &one;
  }
  balance.limiting = largest->name;
  balance.closes = std::abs(balance.carried - balance.load) <= 2.0 * combined(doubts);
  return balance;
}

}  // namespace libloop
