// One zone of a radiator's core: the part of its face behind one fan, or behind none.
//
// Coolant ports: one branch a pass. Air port: one branch, unless no fan is there. Each
// pass is `cells` cells along its tubes; all share the zone's air. See
// docs/theory/core.md.
//
// Inputs   flow of every pass; specific heat; with air its flow and inlet temperature;
//          cells of pass 1 in the direction of its branch, of pass 2, ...; behind each other
//          in air: what enters every pass
// Outputs  drop of every pass; outlet of every pass; heat into every cell; capacity of the
//          coolant in every cell, of the metal at every cell; with air its drop and outlet; answers
//          core_heat, mean coolant by its share of the length (K); with air answer heat_out, heat
//          into the air around, answers entering air times its flow (K kg/s), air volume flow (m3/s
//          as it enters), how much air passes (kg/s)
//
// Every flow may run backwards: the inlet temperature is that of the air that enters, at
// whichever end.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

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
#include "libloop/part/flow_names.hpp"
#include "libloop/part/laws.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/material.hpp"
#include "libloop/part/radiator.hpp"
#include "libloop/part/shroud.hpp"
#include "libloop/quantity/table.hpp"

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
  bool hub_shadow = true;         // a row of fans stands directly before or behind the core
  const Sheet* shroud = nullptr;  // between fan and core, if any; its quantities come last

  template <class T>
  struct Prepared {
    int passes = 2;
    bool behind = false;
    fluid::Liquid<T> liquid;
    // Coolant side, one pass within the zone.
    law::DuctFriction<T> friction;
    law::DuctNusselt<T> nusselt;
    T flow_area{}, hydraulic{}, length{}, inner_area{};
    T tube_heat{}, wall{};
    T coolant_volume{}, metal_capacity{};
    // Air side, the whole zone.
    std::optional<law::LouveredFin<T>> louvered;
    std::optional<law::PlainFin<T>> plain;
    T free_area{}, face_area{}, surface{}, fin_share{}, fin_conductivity{}, fin_thickness{};
    T half_height{}, depth_over_dh{}, end_losses{}, face_losses{};
    T heat_factor{}, friction_factor{}, recirculation{}, pressure{};
    bool usual_fins = true;  // within the geometries the correlations were fitted to
    network::Scales<4> scale;
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
    if (air) {
      T coverage = hub_shadow ? r.coverage : T(1.0);
      if (shroud != nullptr) {
        coverage = coverage + (1.0 - coverage) * take<Shroud>(*shroud, q).hub_relief;
      }
      prepare_air(r, l, at, coverage, p);
    }
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
    T* rest = capacity + 2 * passes * cells;

    X zone_mean(0.0);
    std::array<T, most_passes> coolant_side;  // hA, W/K
    std::array<X, most_passes> stream;        // W/K
    for (int k = 0; k < passes; ++k) {
      X mean(0.0);
      for (int j = 0; j < cells; ++j) mean += cell[k * cells + j];
      mean = mean * (1.0 / cells);
      zone_mean += mean;
      const X carried = network::carrying_flow(flow[k]);
      const T density = fluid::density(p.liquid, mean);
      stream[at(k)] = carried * specific_heat * p.scale[coolant_carries];
      coolant_side[at(k)] = tubes(p, flow[k], carried, specific_heat, mean, density, drop[k]);
      std::fill_n(capacity + k * cells, cells,
                  T(p.coolant_volume * (density * specific_heat) * (1.0 / cells)));
    }
    std::fill_n(capacity + passes * cells, passes * cells, T(p.metal_capacity * (1.0 / cells)));
    zone_mean = zone_mean * (1.0 / passes);
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
           radiator->path()});
    }
    if (p.plain && reynolds > 2300.0) {
      notes.add(
          {Note::Kind::validity, "plain_fin_turbulent",
           "the air between plain fins is no longer laminar: allow 30 % on the core's air side",
           radiator->path()});
    }
    if (p.louvered && reynolds < 100.0) {
      notes.add({Note::Kind::validity, "louver_reynolds",
                 "the air between the fins is slower than the louver correlations were measured at "
                 "(Re below 100): allow 30 % on the core's air side",
                 radiator->path()});
    }
    if (p.louvered && reynolds > 3000.0) {
      notes.add({Note::Kind::validity, "louver_reynolds_high",
                 "the air between the fins is faster than the louver correlations were measured at "
                 "(Re above 3000)",
                 radiator->path()});
    }
  }

  // What else passes through this zone decides whether it reads what enters its passes.
  bool reads_entering() const { return air && radiator->choice("pass_arrangement") == "behind"; }

  std::vector<network::Conductance> conductances() const {
    const std::string name = radiator->path();
    if (!air) return {{named::coolant_flow}};
    return {{named::coolant_flow}, {"tubes of " + name}, {"fins of " + name}, {named::air_flow}};
  }
  std::vector<std::string> stores() const {
    const std::size_t each = static_cast<std::size_t>(radiator->count("passes") * cells);
    std::vector<std::string> all(each, "coolant in the core of " + radiator->path());
    all.insert(all.end(), each, "metal of the core of " + radiator->path());
    return all;
  }

 private:
  enum Scaled { coolant_carries, tube_side, fin_side, air_carries };

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
    const T aspect = gap / width;
    const T length_over_dh = r.face_length() / p.hydraulic;
    p.friction = law::DuctFriction<T>(aspect, length_over_dh, T(0.0));
    p.nusselt = law::DuctNusselt<T>(aspect, length_over_dh);
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
                   const T& coverage, Prepared<T>& p) const {
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
    const T used = p.face_area * coverage;
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
  Promote<G, X> tubes(const Prepared<G>& p, const X& flow, const X& carried, const X& specific_heat,
                      const X& kelvin, const Promote<G, X>& density, Promote<G, X>& drop) const {
    using T = Promote<G, X>;
    const T viscosity = fluid::viscosity(p.liquid, kelvin);
    const T conductivity = fluid::conductivity(p.liquid, kelvin);
    const T reynolds = p.hydraulic / p.flow_area * carried / viscosity;
    const T prandtl = viscosity * specific_heat / conductivity;
    const G shape = 2.0 * p.length / (p.hydraulic * p.hydraulic * p.flow_area);
    drop = shape * p.friction.f_re(reynolds) * viscosity * flow / density;
    return p.tube_heat * p.inner_area / p.hydraulic * p.nusselt.all_regimes(reynolds, prandtl) *
           conductivity;
  }

  template <class G, class X>
  Promote<G, X> with_air(const Prepared<G>& p, const X* flow, const X& air_flow, const X& entering,
                         const X* cell, const X& zone_mean, const Promote<G, X>* coolant_side,
                         const X* stream, Promote<G, X>* outlet, Promote<G, X>* heat,
                         Promote<G, X>* rest) const {
    using T = Promote<G, X>;
    const int passes = p.passes;
    const X carried = network::carrying_flow(air_flow);
    const T air_side = p.scale[fin_side] *
                       fins<G, X>(p, air_flow, carried, X(0.5 * (entering + zone_mean)), rest[0]);

    const X air_capacity = carried * (fluid::air_specific_heat * p.scale[air_carries]);
    const std::array<T, most_passes> k =
        conductances<G, X>(p, air_side, air_capacity, coolant_side, stream);
    const T cell_air(air_capacity * (1.0 / cells));
    const std::array<X, 2> in_front = passes_in_front(air_flow);
    T heat_at_outside(0.0), slope(0.0);
    if (p.behind) {
      demand_behind<T, X>(cell, entering, cell_air, k.data(), in_front, heat_at_outside, slope);
    } else {
      demand_beside<T, X>(passes, cell, entering, k.data(), heat_at_outside, slope);
    }
    // Air as it enters the fins: outside air and a share r of the outlet air.
    const G& r = p.recirculation;
    const T fins_in = entering + r * heat_at_outside / ((1.0 - r) * air_capacity + r * slope);
    const X* enters = cell + passes * cells;
    const T given = p.behind ? behind_each_other<T, X>(flow, cell, enters, fins_in, cell_air,
                                                       k.data(), stream, in_front, outlet, heat)
                             : beside_each_other<T, X>(passes, flow, cell, fins_in, k.data(),
                                                       stream, outlet, heat);
    // What goes on carries all heat: the recirculated share turns round behind whatever
    // follows. What outside air takes away, from its own temperatures, is as much.
    const T behind_fins = fins_in + given / air_capacity;
    rest[4] = (1.0 - r) * air_capacity * (behind_fins - entering);
    rest[5] = rest[4];
    rest[1] = entering + given / air_capacity;
    rest[6] = T(entering * carried);
    rest[7] = air_flow / fluid::air_density(entering, p.pressure);
    rest[8] = T(carried);
    return given;
  }

  // Pressure drop of the air, odd in its flow; returns hA of the air side, W/K.
  template <class G, class X>
  Promote<G, X> fins(const Prepared<G>& p, const X& air_flow, const X& carried, const X& film,
                     Promote<G, X>& drop) const {
    using T = Promote<G, X>;
    const G length = length_of(p);
    const X viscosity = fluid::air_viscosity(film);
    const T density = fluid::air_density(film, p.pressure);
    const T reynolds = length / p.free_area * (carried / viscosity);
    const T heat_product =
        p.louvered ? p.louvered->heat_product(reynolds) : p.plain->heat_product(reynolds);
    const T friction_product =
        p.louvered ? p.louvered->friction_product(reynolds) : p.plain->friction_product(reynolds);

    // Core friction, its ends, and what else stands in the way: (factor f Re mu + K |m|) m/rho.
    const G friction = 2.0 * p.friction_factor * p.depth_over_dh / (length * p.free_area);
    const G losses = 0.5 * (p.end_losses / (p.free_area * p.free_area) +
                            p.face_losses / (p.face_area * p.face_area));
    drop = (friction * friction_product * viscosity + losses * carried) * air_flow / density;

    // h from j, fin and surface efficiency.
    constexpr double prandtl_power = 1.2564959724586404;  // 0.71^(-2/3)
    const G factor = p.heat_factor * (fluid::air_specific_heat * prandtl_power) / length;
    const T h = factor * heat_product * viscosity;
    const T efficiency =
        law::plate_fin_efficiency(h, p.fin_conductivity, p.fin_thickness, p.half_height);
    return p.surface * h * law::surface_efficiency(efficiency, p.fin_share);
  }

  // From each cell of each pass to the air that enters, W/K.
  template <class G, class X>
  std::array<Promote<G, X>, most_passes> conductances(const Prepared<G>& p,
                                                      const Promote<G, X>& air_side,
                                                      const X& air_capacity,
                                                      const Promote<G, X>* coolant_side,
                                                      const X* stream) const {
    using T = Promote<G, X>;
    const double passes = p.passes;
    const X row_capacity = p.behind ? air_capacity : X(air_capacity * (1.0 / passes));
    std::array<T, most_passes> k;
    for (int i = 0; i < p.passes; ++i) {
      // Only the tubes behind the fan count, on both sides.
      const T ua = 1.0 / (passes / air_side + (p.wall + 1.0 / coolant_side[i]) *
                                                  (1.0 / (covered_width * p.scale[tube_side])));
      T whole = law::row_conductance<T>(T(row_capacity), ua);
      if (covered_width < 1.0) {
        whole = law::bypassed_conductance<T>(whole, T(stream[i]), T(1.0 - covered_width),
                                             T(0.01 * whole));
      }
      k[at(i)] = whole * (1.0 / cells);
    }
    return k;
  }

  // The core's heat as a line in the air that enters the fins: sum(k theta), theta over
  // outside air, less slope x (what enters the fins over outside air).
  template <class T, class X>
  void demand_beside(int passes, const X* cell, const X& entering, const T* k, T& heat_at_outside,
                     T& slope) const {
    for (int i = 0; i < passes; ++i) {
      X excess(0.0);
      for (int j = 0; j < cells; ++j) excess += cell[i * cells + j] - entering;
      heat_at_outside += k[i] * excess;
      slope += k[i] * static_cast<double>(cells);
    }
  }

  template <class T, class X>
  void demand_behind(const X* cell, const X& entering, const T& cell_air, const T* k,
                     const std::array<X, 2>& in_front, T& heat_at_outside, T& slope) const {
    for (int front = 0; front < 2; ++front) {
      const X& weight = in_front[at(front)];
      if (value_of(weight) == 0.0) continue;
      const int back = 1 - front;
      const T warmed = k[front] / cell_air;  // share of its excess that the front row gives on
      X first(0.0), second(0.0);
      for (int j = 0; j < cells; ++j) {
        first += cell[front * cells + j] - entering;
        second += cell[back * cells + j] - entering;
      }
      heat_at_outside += weight * (k[front] * first + k[back] * (second - warmed * first));
      slope += weight * ((k[front] + k[back] * (1.0 - warmed)) * static_cast<double>(cells));
    }
  }

  // Which of two passes behind each other air meets first: the second (cooler) one, so that
  // the whole is in counterflow, or the first when air runs backwards. Between them, where
  // air as good as stands, a share of each, so that all is smooth where it turns.
  template <class X>
  static std::array<X, 2> passes_in_front(const X& air_flow) {
    constexpr double turning = 1e-7;  // kg/s
    if (value_of(air_flow) >= turning) return {X(0.0), X(1.0)};
    if (value_of(air_flow) <= -turning) return {X(1.0), X(0.0)};
    const X s = 0.5 + air_flow * (0.5 / turning);
    const X second = s * s * (3.0 - 2.0 * s);
    return {X(1.0 - second), second};
  }

  // Writes heat and outlets of all passes; returns the heat given to the air.
  template <class T, class X>
  T beside_each_other(int passes, const X* flow, const X* cell, const T& fins_in, const T* k,
                      const X* stream, T* outlet, T* heat) const {
    T given(0.0);
    for (int i = 0; i < passes; ++i) {
      const T to_outlet = law::mean_to_outlet<T>(law::transfer_units<T>(k[i], T(stream[i])));
      given += chain_cells<T>(
          cells, flow[i], T(stream[i]),
          [&](int j) {
            const T over = cell[i * cells + j] - fins_in;
            return std::pair<T, T>(T(fins_in + over * to_outlet), T(k[i] * over));
          },
          heat + i * cells, outlet[i]);
    }
    return given;
  }

  template <class T, class X>
  T behind_each_other(const X* flow, const X* cell, const X* enters, const T& fins_in,
                      const T& cell_air, const T* k, const X* stream,
                      const std::array<X, 2>& in_front, T* outlet, T* heat) const {
    // The row of a pass in one of its cells; the second pass comes back along the first.
    const auto row = [&](int pass, int j) {
      const bool forward = network::runs_forward(flow[pass]) == (pass == 0);
      return law::CoolantRow<T>{k[pass], T(stream[pass]), forward ? 1 : -1,
                                T(cell[pass * cells + j] - fins_in)};
    };
    // What enters the cell of a row that air meets first: what leaves the one before it. Its
    // own mean tells that in the steady state alone, and nothing where coolant stands.
    const auto enters_front = [&](int pass, int j) {
      const int before = network::runs_forward(flow[pass]) ? j - 1 : j + 1;
      if (before < 0 || before >= cells) return T(enters[pass] - fins_in);
      const T n = law::transfer_units<T>(k[pass], T(stream[pass]));
      return T((cell[pass * cells + before] - fins_in) * law::mean_to_outlet<T>(n));
    };
    const auto answer = [&](int pass, int j) {
      const law::CoolantRow<T> own = row(pass, j), other = row(1 - pass, cells - 1 - j);
      law::RowAnswer<T> mixed;
      const auto add = [&](const X& weight, const law::RowAnswer<T>& part) {
        mixed.outlet += weight * part.outlet;
        mixed.heat += weight * part.heat;
      };
      const X& first = in_front[at(pass)];
      const X& second = in_front[at(1 - pass)];
      if (value_of(first) > 0.0) {
        add(first, law::two_rows<T>(cell_air, own, other, enters_front(pass, j)).front);
      }
      if (value_of(second) > 0.0) {
        const T entering = enters_front(1 - pass, cells - 1 - j);
        add(second, law::two_rows<T>(cell_air, other, own, entering).back);
      }
      return mixed;
    };
    T given(0.0);
    for (int pass = 0; pass < 2; ++pass) {
      given += chain_cells<T>(
          cells, flow[pass], T(stream[pass]),
          [&](int j) {
            const law::RowAnswer<T> own = answer(pass, j);
            return std::pair<T, T>(T(fins_in + own.outlet), own.heat);
          },
          heat + pass * cells, outlet[pass]);
    }
    return given;
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
