// One zone of a radiator's core: the part of its face behind one fan, or behind none.
//
// Coolant ports: one branch a pass. Air port: one branch, unless no fan is there. Each
// pass is `cells` cells along its tubes; all share the zone's air. See
// docs/theory/core.md.
//
// Inputs   flow of every pass; specific heat; with air its flow and inlet temperature;
//          cells of pass 1 in the direction of its branch, of pass 2, ...
// Outputs  drop of every pass; outlet of every pass; heat into every cell; capacity of
//          every cell; with air its drop and outlet; answers core_heat, coolant_rise;
//          with air answer heat_out and heat into the air around
#pragma once

#include <array>
#include <cmath>
#include <optional>

#include "libloop/fluid/air.hpp"
#include "libloop/fluid/liquid.hpp"
#include "libloop/law/duct.hpp"
#include "libloop/law/exchanger.hpp"
#include "libloop/law/fin.hpp"
#include "libloop/law/louver.hpp"
#include "libloop/law/nusselt.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/chain.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/laws.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/material.hpp"
#include "libloop/part/radiator.hpp"

namespace libloop {

class CoreZone {
 public:
  static constexpr int most_passes = 8;

  const Sheet* radiator = nullptr;
  const Sheet* coolant = nullptr;
  const Sheet* laws = nullptr;
  const Sheet* conditions = nullptr;
  double length_share = 1.0;   // of the face length
  double covered_width = 1.0;  // share of the tubes that lie behind a fan
  bool air = true;
  int cells = 1;

  template <class T>
  struct Prepared {
    int passes = 2;
    bool behind = false;
    fluid::Liquid<T> liquid;
    // Coolant side, one pass within the zone.
    T flow_area{}, hydraulic{}, aspect{}, length_over_dh{}, length{}, inner_area{};
    T tube_heat{}, wall{};
    T coolant_volume{}, metal_capacity{};
    // Air side, the whole zone.
    std::optional<law::LouveredFin<T>> louvered;
    std::optional<law::PlainFin<T>> plain;
    T free_area{}, face_area{}, surface{}, fin_share{}, fin_conductivity{}, fin_thickness{};
    T half_height{}, depth_over_dh{}, end_losses{}, face_losses{};
    T heat_factor{}, friction_factor{}, recirculation{}, pressure{};
    bool usual_fins = true;  // within the geometries the correlations were fitted to
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Radiator<T> r = take<Radiator>(*radiator, q);
    const Coolant<T> c = take<Coolant>(*coolant, q);
    const Laws<T> l = take<Laws>(*laws, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    Prepared<T> p;
    p.passes = r.passes.value;
    p.behind = r.pass_arrangement == Radiator<T>::behind;
    p.liquid = liquid_of(c);
    prepare_tubes(r, l, p);
    if (air) prepare_air(r, l, at, p);
    return p;
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const int passes = p.passes;
    const X& specific_heat = in[passes];
    const X* flow = in;
    const X* cell = in + passes + (air ? 3 : 1);
    T* drop = out;
    T* outlet = drop + passes;
    T* heat = outlet + passes;
    T* capacity = heat + passes * cells;
    T* rest = capacity + passes * cells;

    std::array<X, most_passes> mean;
    X zone_mean(0.0);
    std::array<T, most_passes> coolant_side;  // hA, W/K
    std::array<X, most_passes> stream;        // W/K
    for (int k = 0; k < passes; ++k) {
      mean[at(k)] = X(0.0);
      for (int j = 0; j < cells; ++j) mean[at(k)] += cell[k * cells + j];
      mean[at(k)] = mean[at(k)] / static_cast<double>(cells);
      zone_mean += mean[at(k)] / static_cast<double>(passes);
      stream[at(k)] = network::carrying_flow(flow[k]) * specific_heat;
      const T density(fluid::density(p.liquid, mean[at(k)]));
      const T volumetric(density * specific_heat);
      for (int j = 0; j < cells; ++j) {
        capacity[k * cells + j] =
            (p.coolant_volume * volumetric + p.metal_capacity) / static_cast<double>(cells);
      }
      coolant_side[at(k)] = tubes(p, flow[k], specific_heat, mean[at(k)], density, drop[k]);
    }
    T given(0.0);
    if (air) {
      given = with_air<G, X>(p, flow, in[passes + 1], in[passes + 2], cell, zone_mean,
                             coolant_side.data(), stream.data(), outlet, heat, rest);
    } else {
      for (int k = 0; k < passes; ++k) {
        chain_cells<T>(
            cells, flow[k], T(stream[at(k)]),
            [&](int j) { return std::pair<T, T>(T(cell[k * cells + j]), T(0.0)); },
            heat + k * cells, outlet[k]);
      }
    }
    T* answer = rest + (air ? 2 : 0);
    answer[0] = given;
    answer[1] = T(zone_mean * length_share);
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    if (!air) return;
    const int passes = p.passes;
    const double m = std::abs(in[passes + 1]);
    double mean = 0.0;
    for (int i = 0; i < passes * cells; ++i) mean += in[passes + 3 + i] / (passes * cells);
    const double mu = fluid::air_viscosity(0.5 * (mean + in[passes + 2]));
    const double length = p.louvered ? p.louvered->length() : p.plain->length();
    const double reynolds = m * length / (p.free_area * mu);
    if (!p.usual_fins) {
      notes.add(
          {Note::Kind::validity, "louver_geometry",
           "the fins or their louvers are unlike those the correlations were fitted to: allow "
           "30 % on the core's air side",
           "radiator"});
    }
    if (p.plain && reynolds > 2300.0) {
      notes.add(
          {Note::Kind::validity, "plain_fin_turbulent",
           "the air between plain fins is no longer laminar: allow 30 % on the core's air side",
           "radiator"});
    }
    if (p.louvered && reynolds < 100.0) {
      notes.add({Note::Kind::validity, "louver_reynolds",
                 "the air between the fins is slower than the louver correlations were measured at "
                 "(Re below 100): allow 30 % on the core's air side",
                 "radiator"});
    }
    if (p.louvered && reynolds > 3000.0) {
      notes.add({Note::Kind::validity, "louver_reynolds_high",
                 "the air between the fins is faster than the louver correlations were measured at "
                 "(Re above 3000)",
                 "radiator"});
    }
  }

 private:
  static std::size_t at(int index) { return static_cast<std::size_t>(index); }

  template <class T>
  void prepare_tubes(const Radiator<T>& r, const Laws<T>& l, Prepared<T>& p) const {
    const double passes = p.passes;
    const T depth = p.behind ? r.depth() / passes : r.depth();
    const T tubes = p.behind ? r.tubes() : r.tubes() / passes;
    const T gap = r.tube_thickness - 2.0 * r.tube_wall;
    const T width = depth - 2.0 * r.tube_wall;
    const T zone_length = r.face_length() * length_share;
    p.flow_area = tubes * gap * width;
    p.hydraulic = 2.0 * gap * width / (gap + width);
    p.aspect = gap / width;
    p.length_over_dh = r.face_length() / p.hydraulic;
    p.length = zone_length;
    p.inner_area = tubes * 2.0 * (gap + width) * zone_length;
    p.tube_heat = r.tube_heat_factor * l.tube_heat;
    p.wall = r.tube_wall / (r.fin_conductivity * p.inner_area);
    p.coolant_volume = p.flow_area * zone_length;
    const T fins = r.fin_thickness * r.fin_density * r.fin_height / r.tube_pitch() *
                   r.face_width() * r.depth() * zone_length / passes;
    const T walls = tubes * 2.0 * (depth + r.tube_thickness) * r.tube_wall * zone_length;
    p.metal_capacity = (fins + walls) * material::aluminium;
  }

  template <class T>
  void prepare_air(const Radiator<T>& r, const Laws<T>& l, const Conditions<T>& at,
                   Prepared<T>& p) const {
    law::LouverGeometry<T> core;
    core.fin_pitch = 1.0 / r.fin_density;
    core.fin_height = r.fin_height;
    core.fin_thickness = r.fin_thickness;
    core.louver_pitch = r.louver_pitch;
    core.louver_length = r.fin_height * r.louver_length_share;
    core.louver_angle = r.louver_angle;
    core.depth = r.depth();
    core.tube_thickness = r.tube_thickness;
    const bool louvered = r.fin_kind == Radiator<T>::louvered;
    p.usual_fins = !louvered || usual(core);
    if (louvered) {
      p.louvered.emplace(core);
    } else {
      p.plain.emplace(core);
    }
    // The apparent friction of a plain passage already holds the forming of its profile: only
    // the exit has a laminar profile's momentum.
    const double leaving = louvered ? 1.0 : 1.2;
    p.face_area = r.face_length() * length_share * r.face_width() * covered_width;
    const T used = p.face_area * r.coverage;
    p.free_area = core.free_share() * used;
    p.surface = core.area_per_volume() * used * core.depth;
    p.fin_share = core.passage_height() / (core.passage_height() + core.passage_width());
    p.fin_conductivity = r.fin_conductivity;
    p.fin_thickness = r.fin_thickness;
    p.half_height = 0.5 * r.fin_height;
    p.depth_over_dh = core.depth / core.hydraulic_diameter();
    p.end_losses =
        law::contraction_loss(core.free_share()) + law::expansion_loss(core.free_share(), leaving);
    p.face_losses = r.air_loss;
    p.heat_factor = r.heat_factor * l.fin_heat;
    p.friction_factor = r.friction_factor * l.fin_friction;
    p.recirculation = r.recirculation;
    p.pressure = fluid::standard_pressure(at.altitude);
  }

  // Pressure drop of one pass within the zone; returns hA of its coolant side, W/K.
  template <class G, class X>
  Promote<G, X> tubes(const Prepared<G>& p, const X& flow, const X& specific_heat, const X& kelvin,
                      const Promote<G, X>& density, Promote<G, X>& drop) const {
    using T = Promote<G, X>;
    const T viscosity = fluid::viscosity(p.liquid, kelvin);
    const T conductivity = fluid::conductivity(p.liquid, kelvin);
    const T reynolds = network::carrying_flow(flow) * p.hydraulic / (p.flow_area * viscosity);
    const T prandtl = viscosity * specific_heat / conductivity;
    const T f_re = law::duct_f_re<T>(reynolds, T(p.aspect), T(p.length_over_dh), T(0.0));
    const T velocity = flow / (density * p.flow_area);
    drop = 2.0 * f_re * viscosity * velocity * p.length / (p.hydraulic * p.hydraulic);
    const T nusselt =
        law::nusselt_all_regimes<T>(reynolds, prandtl, T(p.aspect), T(p.length_over_dh));
    return nusselt * p.tube_heat * conductivity / p.hydraulic * p.inner_area;
  }

  template <class G, class X>
  Promote<G, X> with_air(const Prepared<G>& p, const X* flow, const X& air_flow, const X& entering,
                         const X* cell, const X& zone_mean, const Promote<G, X>* coolant_side,
                         const X* stream, Promote<G, X>* outlet, Promote<G, X>* heat,
                         Promote<G, X>* rest) const {
    using T = Promote<G, X>;
    const int passes = p.passes;
    const X film(0.5 * (entering + zone_mean));
    const X viscosity = fluid::air_viscosity(film);
    const T density = fluid::air_density<T>(T(film), T(p.pressure));
    const X carried = network::carrying_flow(air_flow);
    const T reynolds = carried * length_of(p) / (p.free_area * viscosity);
    const T heat_product =
        p.louvered ? p.louvered->heat_product(reynolds) : p.plain->heat_product(reynolds);
    const T friction_product =
        p.louvered ? p.louvered->friction_product(reynolds) : p.plain->friction_product(reynolds);

    // Air side: h from j, fin and surface efficiency.
    constexpr double prandtl_power = 1.2564959724586404;  // 0.71^(-2/3)
    const T h = heat_product * p.heat_factor * viscosity *
                (fluid::air_specific_heat * prandtl_power) / length_of(p);
    const T efficiency = law::plate_fin_efficiency<T>(h, T(p.fin_conductivity), T(p.fin_thickness),
                                                      T(p.half_height));
    const T air_side = h * law::surface_efficiency<T>(efficiency, T(p.fin_share)) * p.surface;

    // Pressure: core friction, its ends, and what else stands in the way.
    const T velocity = air_flow / (density * p.free_area);
    const T face_velocity = air_flow / (density * p.face_area);
    const T head = 0.5 * density * velocity * (carried / (density * p.free_area));
    const T face_head = 0.5 * density * face_velocity * (carried / (density * p.face_area));
    rest[0] = 2.0 * friction_product * p.friction_factor * viscosity * velocity / length_of(p) *
                  p.depth_over_dh +
              p.end_losses * head + p.face_losses * face_head;

    // Conductance to the entering air of each cell of each pass.
    const X air_capacity = carried * fluid::air_specific_heat;
    const double share = p.behind ? 1.0 : 1.0 / passes;
    std::array<T, most_passes> k;
    for (int i = 0; i < passes; ++i) {
      // Only the tubes behind the fan count, on both sides.
      const T ua = 1.0 / (static_cast<double>(passes) / air_side +
                          (p.wall + 1.0 / coolant_side[i]) / covered_width);
      T whole = law::row_conductance<T>(T(air_capacity * share), ua);
      if (covered_width < 1.0) {
        whole = law::bypassed_conductance<T>(whole, T(stream[i]), T(1.0 - covered_width),
                                             T(0.01 * whole));
      }
      k[at(i)] = whole / static_cast<double>(cells);
    }
    // Air entering the fins: outside air and a share r of the outlet air. The core's heat
    // is sum(k theta) less slope x (its excess over outside air).
    T heat_at_outside(0.0), slope(0.0);
    const T cell_air(air_capacity / static_cast<double>(cells));
    if (p.behind) {
      const T passed = 1.0 - k[1] / cell_air;  // what the front row (pass 2) leaves
      for (int j = 0; j < cells; ++j) {
        const T front(cell[cells + cells - 1 - j] - entering);
        const T back(cell[j] - entering);
        heat_at_outside += k[1] * front + k[0] * (back - (1.0 - passed) * front);
        slope += k[1] + k[0] * passed;
      }
    } else {
      for (int i = 0; i < passes; ++i) {
        for (int j = 0; j < cells; ++j) {
          heat_at_outside += k[at(i)] * (cell[i * cells + j] - entering);
          slope += k[at(i)];
        }
      }
    }
    const G& r = p.recirculation;
    const T excess = r * heat_at_outside / (air_capacity * (1.0 - r) + r * slope);
    const T given = heat_at_outside - slope * excess;
    const T fins_in = entering + excess;
    rest[1] = fins_in + given / air_capacity;

    if (p.behind) {
      behind_each_other<G, X>(p, flow, cell, fins_in, cell_air, k.data(), stream, outlet, heat);
    } else {
      for (int i = 0; i < passes; ++i) {
        const T n = law::transfer_units<T>(k[at(i)], T(stream[i]));
        const T to_outlet = law::mean_to_outlet<T>(n);
        chain_cells<T>(
            cells, flow[i], T(stream[i]),
            [&](int j) {
              const T over = cell[i * cells + j] - fins_in;
              return std::pair<T, T>(T(fins_in + over * to_outlet), T(k[at(i)] * over));
            },
            heat + i * cells, outlet[i]);
      }
    }
    // What outside air takes away, from its own temperatures.
    rest[4] = (1.0 - r) * air_capacity * (rest[1] - entering);
    rest[5] = rest[4];
    return given;
  }

  // Two passes, the second (cooler) in front of the first: counterflow on the whole.
  template <class G, class X>
  void behind_each_other(const Prepared<G>&, const X* flow, const X* cell,
                         const Promote<G, X>& fins_in, const Promote<G, X>& cell_air,
                         const Promote<G, X>* k, const X* stream, Promote<G, X>* outlet,
                         Promote<G, X>* heat) const {
    using T = Promote<G, X>;
    const int sign_back = value_of(flow[0]) >= 0.0 ? 1 : -1;
    const int sign_front = value_of(flow[1]) >= 0.0 ? -1 : 1;
    const auto rows = [&](int j) {
      const law::CoolantRow<T> front{k[1], T(stream[1]), sign_front,
                                     T(cell[cells + cells - 1 - j] - fins_in)};
      const law::CoolantRow<T> back{k[0], T(stream[0]), sign_back, T(cell[j] - fins_in)};
      return law::two_rows<T>(cell_air, front, back);
    };
    chain_cells<T>(
        cells, flow[0], T(stream[0]),
        [&](int j) {
          const law::TwoRows<T> both = rows(j);
          return std::pair<T, T>(T(fins_in + both.back.outlet), both.back.heat);
        },
        heat, outlet[0]);
    chain_cells<T>(
        cells, flow[1], T(stream[1]),
        [&](int j) {
          const law::TwoRows<T> both = rows(cells - 1 - j);
          return std::pair<T, T>(T(fins_in + both.front.outlet), both.front.heat);
        },
        heat + cells, outlet[1]);
  }

  // The data of Chang & Wang 1997: fin pitch 0.5-3.3, louver pitch 0.5-3, fin height 2.8-25,
  // depth 15.6-57 mm, angle 8-35 degrees (from memory).
  template <class T>
  static bool usual(const law::LouverGeometry<T>& core) {
    const auto between = [](const T& x, double low, double high) {
      return value_of(x) >= low && value_of(x) <= high;
    };
    return between(core.fin_pitch, 0.5e-3, 3.3e-3) && between(core.louver_pitch, 0.5e-3, 3e-3) &&
           between(core.fin_height, 2.8e-3, 25e-3) && between(core.depth, 15.6e-3, 57e-3) &&
           between(core.louver_angle, 0.1396, 0.6109);
  }

  template <class G>
  static G length_of(const Prepared<G>& p) {
    return p.louvered ? p.louvered->length() : p.plain->length();
  }
};

}  // namespace libloop
