#include "libloop/model/answers.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/fluid/air.hpp"
#include "libloop/fluid/liquid.hpp"
#include "libloop/law/sound.hpp"
#include "libloop/part/liquid_of.hpp"

namespace libloop {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }
std::size_t at(Raw raw) { return static_cast<std::size_t>(raw); }

double heat_of_cores(const Built& built, const std::vector<double>& raw) {
  double heat = 0.0;
  for (const BuiltRadiator& r : built.radiators) heat += raw[at(r.heat)];
  return heat;
}

// Mean air that enters a core, weighted by how much; a core at rest stands in the air around.
constexpr double at_rest = 1e-6;  // kg/s

bool breathes(const BuiltRadiator& r, const std::vector<double>& raw) {
  return raw[at(r.air_mass)] > at_rest;
}
double intake(const BuiltRadiator& r, const std::vector<double>& raw) {
  return breathes(r, raw) ? raw[at(r.intake)] / raw[at(r.air_mass)] : raw[at(Raw::around)];
}

// Of each core over the air that enters it, weighted by area.
double coolant_rise(const Built& built, const std::vector<double>& raw) {
  double rise = 0.0;
  for (const BuiltRadiator& r : built.radiators) {
    rise += r.weight * (raw[at(r.coolant)] - intake(r, raw));
  }
  return rise;
}

RawSlopes slopes_of_rise(const Built& built, const std::vector<double>& raw, double factor) {
  RawSlopes slopes;
  for (const BuiltRadiator& r : built.radiators) {
    const double share = factor * r.weight;
    slopes.emplace_back(r.coolant, share);
    if (breathes(r, raw)) {
      slopes.emplace_back(r.intake, -share / raw[at(r.air_mass)]);
      slopes.emplace_back(r.air_mass, share * intake(r, raw) / raw[at(r.air_mass)]);
    } else {
      slopes.emplace_back(static_cast<int>(Raw::around), -share);
    }
  }
  return slopes;
}

// At no heat the quotient is 0/0; it is told as 0, with a note by the model.
double conductance(double heat, double rise) { return std::abs(rise) < 1e-9 ? 0.0 : heat / rise; }

ChipPoint chip_point(const BuiltChip& chip, const std::vector<double>& raw, double ambient) {
  ChipPoint p;
  p.name = chip.name;
  p.load = raw[at(chip.power)];
  p.rise = raw[at(chip.rise)];
  p.coolant_flow = raw[at(chip.coolant_flow)];
  for (std::size_t i = 0; i < budget_rows.size(); ++i) p.budget[i] = raw[at(chip.budget) + i];
  for (std::size_t i = 0; i < chip.dies.size(); ++i) {
    const double kelvin = raw[at(chip.hottest) + i];
    p.hottest.push_back(kelvin - ambient);
    p.temperature = std::max(p.temperature, kelvin);
  }
  p.limit = chip.place->seat->chip.typical("limit");
  return p;
}

RadiatorPoint radiator_point(const BuiltRadiator& r, const std::vector<double>& raw,
                             double ambient) {
  RadiatorPoint p;
  p.name = r.name;
  p.heat = raw[at(r.heat)];
  p.intake = intake(r, raw) - ambient;
  p.coolant_rise = raw[at(r.coolant)] - intake(r, raw);
  p.conductance = conductance(p.heat, p.coolant_rise);
  p.air_flow = raw[at(r.air_flow)];
  return p;
}

}  // namespace

double value_of(Answer answer, const Built& built, const std::vector<double>& raw) {
  switch (answer) {
    case Answer::rise:
      return raw[at(built.chips.front().rise)];
    case Answer::coolant_rise:
      return coolant_rise(built, raw);
    case Answer::coolant_flow:
      return raw[at(built.chips.front().coolant_flow)];
    case Answer::air_flow: {
      double flow = raw[at(Raw::air_flow)];
      for (const BuiltRadiator& r : built.radiators)
        flow += r.counts_air ? raw[at(r.air_flow)] : 0.0;
      return flow;
    }
    case Answer::conductance:
      return conductance(heat_of_cores(built, raw), coolant_rise(built, raw));
    case Answer::noise:
      return law::sound_level<double>(raw[at(Raw::noise)]);
  }
  return 0.0;
}

RawSlopes slopes_of(Answer answer, const Built& built, const std::vector<double>& raw) {
  const auto same = [](int index) { return RawSlopes{{index, 1.0}}; };
  switch (answer) {
    case Answer::rise:
      return same(built.chips.front().rise);
    case Answer::coolant_rise:
      return slopes_of_rise(built, raw, 1.0);
    case Answer::coolant_flow:
      return same(built.chips.front().coolant_flow);
    case Answer::air_flow: {
      RawSlopes slopes = same(static_cast<int>(Raw::air_flow));
      for (const BuiltRadiator& r : built.radiators) {
        if (r.counts_air) slopes.emplace_back(r.air_flow, 1.0);
      }
      return slopes;
    }
    case Answer::conductance: {
      const double rise = coolant_rise(built, raw);
      if (std::abs(rise) < 1e-9) return {};
      RawSlopes slopes = slopes_of_rise(built, raw, -heat_of_cores(built, raw) / (rise * rise));
      for (const BuiltRadiator& r : built.radiators) slopes.emplace_back(r.heat, 1.0 / rise);
      return slopes;
    }
    case Answer::noise: {
      const Dual<1> level = law::sound_level(Dual<1>::variable(raw[at(Raw::noise)], 0));
      return {{static_cast<int>(Raw::noise), level.slope[0]}};
    }
  }
  return {};
}

void fill(OperatingPoint& p, const Built& built, const std::vector<double>& raw, double ambient,
          double load, bool all) {
  for (const AnswerRow& row : answer_rows) {
    p.answer[static_cast<std::size_t>(row.answer)] = value_of(row.answer, built, raw);
  }
  ChipPoint first = chip_point(built.chips.front(), raw, ambient);
  p.budget = first.budget;
  p.hottest = first.hottest;
  p.chip_temperature = first.temperature;
  p.margin = first.limit - first.temperature;
  p.load = load;
  p.coolant_warming = raw[at(Raw::coolant_warming)];
  p.heat_in = raw[at(Raw::heat_in)];
  p.heat_out = raw[at(Raw::heat_out)];
  p.energy_residual = std::abs(p.heat_in - p.heat_out) / std::max(load, 1.0);
  if (!all && built.chips.size() + built.radiators.size() == 2) return;
  p.chips.push_back(std::move(first));
  for (std::size_t i = 1; i < built.chips.size(); ++i) {
    p.chips.push_back(chip_point(built.chips[i], raw, ambient));
    p.margin = std::min(p.margin, p.chips.back().limit - p.chips.back().temperature);
  }
  for (const BuiltRadiator& r : built.radiators) {
    p.radiators.push_back(radiator_point(r, raw, ambient));
  }
}

std::vector<PartPoint> parts_of(const Model::Setup& setup, const Built& built,
                                const std::vector<double>& values, const std::vector<double>& x,
                                const network::Evaluation& work) {
  const Sheet& coolant = setup.cooler.the("coolant");
  const auto liquid = fluid::make_liquid(liquid_kind({coolant.count("kind")}),
                                         values[at(setup.place(coolant, "fraction"))]);
  const double pressure = fluid::standard_pressure(values[at(setup.duty[2])]);
  const network::Circuit& circuit = built.circuit;
  const std::vector<double> pressures = circuit.pressures(work);
  const std::vector<double> temperatures = circuit.temperatures(x, work);
  const std::vector<double> flows = circuit.flows(x);
  std::vector<PartPoint> all;
  for (const BuiltPart& part : built.parts) {
    PartPoint p;
    p.name = part.name;
    p.air = part.air;
    p.from = circuit.nodes()[at(part.from)].name;
    p.to = circuit.nodes()[at(part.to)].name;
    p.flow = flows[at(part.branches.front())];
    for (const int b : part.branches) p.drop += work.drop[at(b)];
    p.pressure = pressures[at(part.from)];
    const bool forward = p.flow >= 0.0;
    p.entering = temperatures[at(forward ? part.from : part.to)];
    p.leaving = work.outlet[at(forward ? part.branches.back() : part.branches.front())];
    const double density =
        p.air ? fluid::air_density(p.entering, pressure) : fluid::density(liquid, p.entering);
    p.volume_flow = p.flow / density;
    all.push_back(std::move(p));
  }
  return all;
}

}  // namespace libloop
