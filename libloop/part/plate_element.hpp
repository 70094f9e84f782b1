// The cold plate in the loop: channels, fins, what passes over their tips.
//
// Inputs   flow, specific heat, wall (root of the fins), what enters it, its cells in the
//          direction of its branch
// Outputs  drop, outlet, heat into every cell, heat into the wall, capacity of the
//          coolant in every cell, of the wall, the film conductance (W/K) as an auxiliary;
//          answers of the chip on it: coolant flow (m3/s), what enters, mean coolant over
//          it, wall over the mean
#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "libloop/fluid/liquid.hpp"
#include "libloop/law/duct.hpp"
#include "libloop/law/exchanger.hpp"
#include "libloop/law/fin.hpp"
#include "libloop/law/nusselt.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/chain.hpp"
#include "libloop/part/cold_plate.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/flow_names.hpp"
#include "libloop/part/laws.hpp"
#include "libloop/part/liquid_of.hpp"
#include "libloop/part/material.hpp"
#include "libloop/quantity/table.hpp"

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
    law::DuctFriction<T> friction;
    law::DuctNusselt<T> nusselt;
    T hydraulic{}, path{};
    T bare_area{}, fin_area{}, conductivity{}, fin_thickness{}, height{}, side{};
    T heat_factor{}, through{}, bypass{}, slot{};
    T volume{}, copper{};
    network::Scales<2> scale;
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
    const T aspect = value_of(c.channel_gap) < value_of(c.channel_height)
                         ? c.channel_gap / c.channel_height
                         : c.channel_height / c.channel_gap;
    p.path = c.finned_side / halves;
    const T length_over_dh = p.path / p.hydraulic;
    p.friction = law::DuctFriction<T>(aspect, length_over_dh, T(0.0));
    p.nusselt = law::DuctNusselt<T>(aspect, length_over_dh);
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
    const X &flow = in[0], &specific_heat = in[1], &wall = in[2], &entering = in[3];
    const X* cell = in + 4;
    const double parts = cells;
    X mean(0.0);
    for (int j = 0; j < cells; ++j) mean += cell[j];
    mean = mean * (1.0 / parts);
    const T density = fluid::density(p.liquid, mean);
    const T viscosity = fluid::viscosity(p.liquid, mean);
    const T conductivity = fluid::conductivity(p.liquid, mean);
    const X carried = network::carrying_flow(flow);
    const G per_area = p.through / p.flow_area;  // mass flux over the whole flow
    const T reynolds = p.hydraulic * per_area * carried / viscosity;
    const T prandtl = viscosity * specific_heat / conductivity;

    // Channels, then the slot: (factor f Re mu + K |m|) m/rho.
    const G friction = 2.0 * p.path / (p.hydraulic * p.hydraulic) * per_area;
    const G slot = 0.5 * p.slot * per_area * per_area;
    out[0] = (friction * p.friction.f_re(reynolds) * viscosity + slot * carried) * flow / density;

    const T h =
        p.heat_factor / p.hydraulic * p.nusselt.all_regimes(reynolds, prandtl) * conductivity;
    const T efficiency = law::plate_fin_efficiency(h, p.conductivity, p.fin_thickness, p.height);
    const T film = h * (p.bare_area + efficiency * p.fin_area);
    // What passes over the tips is warmed only through the still depth of the channels.
    const T over_tips = p.side * p.side / p.height * conductivity;
    const X stream = carried * specific_heat * p.scale[carries];
    const T conductance = law::bypassed_conductance<T>(film * p.scale[wetted], T(stream),
                                                       T(p.bypass), over_tips * p.scale[wetted]) *
                          (1.0 / parts);
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
    std::fill_n(capacity, cells, T(p.volume / parts * (density * specific_heat)));
    T* rest = capacity + cells;
    rest[0] = T(p.copper);
    rest[1] = film;
    rest[2] = flow / fluid::density(p.liquid, entering);
    rest[3] = T(entering);
    rest[4] = T(mean - entering);
    rest[5] = T(wall - mean);
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    double mean = 0.0;
    for (int j = 0; j < cells; ++j) mean += in[4 + j] / cells;
    if (in[2] > 373.15) {
      notes.add({Note::Kind::limit, "plate_boils",
                 "the cold plate would pass 100 C: its coolant would boil, and no steady point of "
                 "this kind exists; do not run it",
                 plate->path()});
    }
    const double viscosity = fluid::viscosity(p.liquid, mean);
    const double reynolds = std::abs(in[0]) * p.through * p.hydraulic / (p.flow_area * viscosity);
    if (reynolds > 2300.0) {
      notes.add({Note::Kind::validity, "channel_turbulent",
                 "flow in the plate's channels is no longer laminar: allow 20 % on its heat "
                 "transfer",
                 plate->path()});
    }
  }

  std::vector<network::Conductance> conductances() const {
    return {{"film of " + plate->path(), true}, {named::coolant_flow}};
  }
  std::vector<std::string> stores() const {
    std::vector<std::string> all(static_cast<std::size_t>(cells), "coolant in " + plate->path());
    all.push_back("copper of " + plate->path());
    return all;
  }

 private:
  enum Scaled { wetted, carries };
};

}  // namespace libloop
