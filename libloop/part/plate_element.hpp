// The cold plate in the loop: channels, fins, what passes over their tips.
//
// Inputs   flow, specific heat, wall (root of the fins), its cells in the direction of
//          its branch
// Outputs  drop, outlet, heat into every cell, heat into the wall, capacity of every
//          cell, capacity of the wall, the film conductance (W/K) as an auxiliary,
//          answers: mean coolant, -mean coolant, wall
#pragma once

#include <cmath>

#include "libloop/fluid/liquid.hpp"
#include "libloop/law/duct.hpp"
#include "libloop/law/exchanger.hpp"
#include "libloop/law/fin.hpp"
#include "libloop/law/nusselt.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/chain.hpp"
#include "libloop/part/cold_plate.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/laws.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/material.hpp"

namespace libloop {

class PlateElement {
 public:
  const Sheet* plate = nullptr;
  const Sheet* coolant = nullptr;
  const Sheet* laws = nullptr;
  int cells = 1;

  template <class T>
  struct Prepared {
    fluid::Liquid<T> liquid;
    T flow_area{};  // all channels side by side that share the channel flow
    T hydraulic{}, aspect{}, path{}, length_over_dh{};
    T bare_area{}, fin_area{}, conductivity{}, fin_thickness{}, height{}, side{};
    T heat_factor{}, through{}, bypass{}, slot{};
    T volume{}, copper{};
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const ColdPlate<T> c = take<ColdPlate>(*plate, q);
    const Coolant<T> fill = take<Coolant>(*coolant, q);
    const Laws<T> l = take<Laws>(*laws, q);
    Prepared<T> p;
    p.liquid = liquid_of(fill);
    const T channels = c.finned_side / (c.channel_gap + c.fin_thickness);
    const double halves = c.flow == 0 ? 2.0 : 1.0;  // fed in the middle: two half lengths
    p.flow_area = halves * channels * c.channel_gap * c.channel_height;
    p.hydraulic = 2.0 * c.channel_gap * c.channel_height / (c.channel_gap + c.channel_height);
    // short over long side, whichever is which
    p.aspect = value_of(c.channel_gap) < value_of(c.channel_height)
                   ? c.channel_gap / c.channel_height
                   : c.channel_height / c.channel_gap;
    p.path = c.finned_side / halves;
    p.length_over_dh = p.path / p.hydraulic;
    p.bare_area = channels * c.channel_gap * c.finned_side;
    p.fin_area = channels * 2.0 * c.channel_height * c.finned_side;
    p.conductivity = c.conductivity;
    p.fin_thickness = c.fin_thickness;
    p.height = c.channel_height;
    p.side = c.finned_side;
    p.heat_factor = c.heat_factor * l.channel_heat;
    p.through = 1.0 - c.bypass;
    p.bypass = c.bypass;
    p.slot = c.slot_loss;
    p.volume = c.volume;
    p.copper = (c.base_length * c.base_width * c.base_thickness +
                channels * c.fin_thickness * c.channel_height * c.finned_side) *
               material::copper;
    return p;
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const X &flow = in[0], &specific_heat = in[1], &wall = in[2];
    const X* cell = in + 3;
    const double parts = cells;
    X mean(0.0);
    for (int j = 0; j < cells; ++j) mean += cell[j] / parts;
    const T density = fluid::density(p.liquid, mean);
    const T viscosity = fluid::viscosity(p.liquid, mean);
    const T conductivity = fluid::conductivity(p.liquid, mean);
    const X carried = network::carrying_flow(flow);
    const T reynolds = carried * p.through * p.hydraulic / (p.flow_area * viscosity);
    const T prandtl = viscosity * specific_heat / conductivity;

    const T velocity = flow * p.through / (density * p.flow_area);
    const T f_re = law::duct_f_re<T>(reynolds, T(p.aspect), T(p.length_over_dh), T(0.0));
    const T head = 0.5 * density * velocity * (carried * p.through / (density * p.flow_area));
    out[0] =
        2.0 * f_re * viscosity * velocity * p.path / (p.hydraulic * p.hydraulic) + p.slot * head;

    const T nusselt =
        law::nusselt_all_regimes<T>(reynolds, prandtl, T(p.aspect), T(p.length_over_dh));
    const T h = nusselt * p.heat_factor * conductivity / p.hydraulic;
    const T efficiency =
        law::plate_fin_efficiency<T>(h, T(p.conductivity), T(p.fin_thickness), T(p.height));
    const T film = h * (p.bare_area + efficiency * p.fin_area);
    // What passes over the tips is warmed only through the still depth of the channels.
    const T over_tips = conductivity * p.side * p.side / p.height;
    const X stream = carried * specific_heat;
    const T conductance =
        law::bypassed_conductance<T>(film, T(stream), T(p.bypass), over_tips) / parts;
    const T to_outlet = law::mean_to_outlet<T>(law::transfer_units<T>(conductance, T(stream)));

    T* heat = out + 2;
    T& from_wall = heat[cells];
    T* capacity = heat + cells + 1;
    from_wall = chain_cells<T>(
        cells, flow, T(stream),
        [&](int j) {
          const T over = T(cell[j] - wall);
          return std::pair<T, T>(wall + over * to_outlet, conductance * over);
        },
        heat, out[1]);
    for (int j = 0; j < cells; ++j) capacity[j] = p.volume * density * specific_heat / parts;
    T* rest = capacity + cells;
    rest[0] = T(p.copper);
    rest[1] = film;
    rest[2] = T(mean);
    rest[3] = -T(mean);
    rest[4] = T(wall);
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    double mean = 0.0;
    for (int j = 0; j < cells; ++j) mean += in[3 + j] / cells;
    if (in[2] > 373.15) {
      notes.add({Note::Kind::limit, "plate_boils",
                 "the cold plate would pass 100 C: its coolant would boil, and no steady point of "
                 "this kind exists; do not run it",
                 "cold_plate"});
    }
    const double viscosity = fluid::viscosity(p.liquid, mean);
    const double reynolds = std::abs(in[0]) * p.through * p.hydraulic / (p.flow_area * viscosity);
    if (reynolds > 2300.0) {
      notes.add({Note::Kind::validity, "channel_turbulent",
                 "flow in the plate's channels is no longer laminar: allow 20 % on its heat "
                 "transfer",
                 "cold_plate"});
    }
  }
};

}  // namespace libloop
