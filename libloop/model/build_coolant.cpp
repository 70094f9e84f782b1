// The coolant's parts between their places.
#include <fmt/format.h>

#include <functional>

#include "libloop/model/builder.hpp"
#include "libloop/model/coolant_mean.hpp"
#include "libloop/part/fitting_element.hpp"
#include "libloop/part/plate_element.hpp"
#include "libloop/part/pump_element.hpp"
#include "libloop/part/reservoir_element.hpp"
#include "libloop/part/tank.hpp"
#include "libloop/part/tube_element.hpp"

namespace libloop {

using network::Input;
using network::Output;

void Builder::add_coolant() {
  constexpr double usual = 3800.0;  // J/(kg K), a first guess
  specific_heat_ = circuit().add_aux("specific heat of the coolant", usual);
  network::Stream stream;
  stream.name = "coolant";
  stream.stores_heat = true;
  stream.specific_heat = specific_heat_;
  built_.coolant = circuit().add_stream(stream);
  for (const std::string& place : wiring_.coolant_places) {
    coolant_nodes_.push_back(circuit().add_node(built_.coolant, place));
  }
  for (const CoolantPart& at : wiring_.coolant) {
    const std::string& kind = at.sheet->table().kind;
    if (kind == "radiator") add_radiator(at, cores_.at(at.sheet));
    if (kind == "pump") add_pump(at);
    if (kind == "tube") add_tube(at);
    if (kind == "cold_plate") add_plate(at);
    if (kind == "reservoir") add_reservoir(at);
    if (kind == "fitting") add_fitting(at);
  }
  add_coolant_mean();
}

int Builder::coolant_branch(const std::string& name, int from, int to,
                            const std::vector<int>& states) {
  const double guess = 0.3 * stated_free_flow(*part("pump")) * 1000.0;
  const int branch =
      circuit().add_branch({built_.coolant, from, to, states.front(), states.back(), guess, name});
  if (!built_.parts.empty() && built_.parts.back().name == name && !built_.parts.back().air) {
    built_.parts.back().branches.push_back(branch);
    built_.parts.back().to = to;
  } else {
    built_.parts.push_back({name, false, {branch}, from, to});
  }
  return branch;
}

// Tank, pass, tank, pass, ..., tank.
void Builder::add_radiator(const CoolantPart& at, Core& core) {
  const int passes = at.sheet->count("passes");
  const std::size_t zones = core.zones.size();
  core.branches.resize(zones);
  core.cells.resize(zones);
  const int frame = circuit().add_state(at.name + " frame");
  const int pieces = passes * static_cast<int>(zones) + passes + 1;
  int done = 0, end = coolant_node(at.from);
  const auto next_node = [&] {
    ++done;
    return done == pieces ? coolant_node(at.to)
                          : circuit().add_node(built_.coolant, fmt::format("{} {}", at.name, done));
  };
  const auto tank = [&](int index) {
    const int to = next_node();
    const int held = add_tank(at, fmt::format("{} tank {}", at.name, index), end, to, frame);
    end = to;
    return held;
  };
  hot_tanks_.push_back(tank(1));
  for (int pass = 0; pass < passes; ++pass) {
    for (std::size_t step = 0; step < zones; ++step) {
      const std::size_t z = pass % 2 == 0 ? step : zones - 1 - step;
      const std::vector<int> states =
          new_states(fmt::format("{} zone {} pass {}", at.name, z + 1, pass + 1), cells_);
      const int to = next_node();
      core.branches[z].push_back(coolant_branch(at.name, end, to, states));
      core.cells[z].insert(core.cells[z].end(), states.begin(), states.end());
      end = to;
    }
    const int held = tank(pass + 2);
    if (pass == passes - 1) cold_tanks_.push_back(held);
  }
  add(at.name + " frame", {state(frame), around_},
      {heat(frame), heat(air_heat_), capacity(frame), answer(Raw::heat_out)},
      quantities({at.sheet}), Frame{at.sheet});
}

int Builder::add_tank(const CoolantPart& at, const std::string& name, int from, int to, int frame) {
  const int held = circuit().add_state(name);
  Tank tank;
  tank.radiator = at.sheet;
  tank.coolant = part("coolant");
  tank.tanks = at.sheet->count("passes") + 1;
  tank.radiators = static_cast<int>(built_.radiators.size());
  std::vector<int> q = quantities({at.sheet, part("coolant")});
  if (ring_) {
    tank.rest = {{part("tube"), part("cold_plate"), part("pump")}};
    for (const Sheet* sheet : tank.rest->sheets()) append(q, sheet);
  }
  const int b = coolant_branch(at.name, from, to, {held});
  add(name, {flow(b), aux(specific_heat_), state(held), state(frame), around_},
      {drop(b), outlet(b), heat(held), heat(frame), heat(air_heat_), capacity(held), capacity(held),
       answer(Raw::heat_out)},
      std::move(q), tank);
  return held;
}

void Builder::add_pump(const CoolantPart& at) {
  const int held = circuit().add_state(at.name);
  const int b = coolant_branch(at.name, coolant_node(at.from), coolant_node(at.to), {held});
  built_.parts.back().machine = true;
  built_.parts.back().idle = at.sheet->typical("speed_share") == 0.0;
  built_.parts.back().free_flow = stated_free_flow(*at.sheet) * 1000.0;
  PumpElement pump;
  pump.pump = at.sheet;
  pump.coolant = part("coolant");
  pump.conditions = &setup_.conditions;
  add(at.name, {flow(b), aux(specific_heat_), state(held)},
      {drop(b), outlet(b), heat(held), capacity(held), capacity(held), answer(Raw::heat_in)},
      quantities({at.sheet, part("coolant"), &setup_.conditions}), pump);
}

void Builder::add_tube(const CoolantPart& at) {
  const std::vector<int> states = new_states(at.name, cells_);
  const int b = coolant_branch(at.name, coolant_node(at.from), coolant_node(at.to), states);
  std::vector<Input> inputs{flow(b), aux(specific_heat_), around_};
  std::vector<Output> outputs{drop(b), outlet(b)};
  for (const int s : states) inputs.push_back(state(s));
  for (const int s : states) outputs.push_back(heat(s));
  outputs.push_back(heat(air_heat_));
  for (const int s : states) outputs.push_back(capacity(s));
  for (const int s : states) outputs.push_back(capacity(s));
  outputs.push_back(answer(Raw::heat_out));
  add(at.name, inputs, outputs, quantities({at.sheet, part("coolant")}),
      TubeElement{at.sheet, part("coolant"), cells_});
}

void Builder::add_plate(const CoolantPart& at) {
  const std::vector<int> states = new_states(at.name + " coolant", cells_);
  Plate& plate = plates_[at.sheet];
  plate.wall = circuit().add_state(at.name);
  constexpr double usual_film = 100.0;  // W/K, a first guess
  plate.film = circuit().add_aux(at.name + " film", usual_film);
  const int b = coolant_branch(at.name, coolant_node(at.from), coolant_node(at.to), states);
  std::vector<Input> inputs{flow(b), aux(specific_heat_), state(plate.wall), inlet(b)};
  std::vector<Output> outputs{drop(b), outlet(b)};
  for (const int s : states) inputs.push_back(state(s));
  for (const int s : states) outputs.push_back(heat(s));
  outputs.push_back(heat(plate.wall));
  for (const int s : states) outputs.push_back(capacity(s));
  outputs.push_back(capacity(plate.wall));
  outputs.push_back(define(plate.film));
  for (const BuiltChip& chip : built_.chips) {
    if (chip.place->plate != at.sheet) continue;
    outputs.push_back(answer(chip.coolant_flow));
    outputs.push_back(answer(chip.budget + budget("cold_coolant")));
    outputs.push_back(answer(chip.budget + budget("coolant_warming")));
    outputs.push_back(answer(chip.budget + budget("convection")));
  }
  add(at.name, inputs, outputs, quantities({at.sheet, part("coolant"), &bench_.law}),
      PlateElement{at.sheet, part("coolant"), &bench_.law, cells_});
}

void Builder::add_reservoir(const CoolantPart& at) {
  const int held = circuit().add_state(at.name);
  const int b = coolant_branch(at.name, coolant_node(at.from), coolant_node(at.to), {held});
  add(at.name, {flow(b), aux(specific_heat_), state(held), around_},
      {drop(b), outlet(b), heat(held), heat(air_heat_), capacity(held), capacity(held),
       answer(Raw::heat_out)},
      quantities({at.sheet, part("coolant")}), ReservoirElement{at.sheet, part("coolant")});
}

void Builder::add_fitting(const CoolantPart& at) {
  const int held = circuit().add_state(at.name);
  const int b = coolant_branch(at.name, coolant_node(at.from), coolant_node(at.to), {held});
  add(at.name, {flow(b), aux(specific_heat_), state(held)},
      {drop(b), outlet(b), heat(held), capacity(held)}, quantities({at.sheet, part("coolant")}),
      FittingElement{at.sheet, part("coolant")});
}

void Builder::add_coolant_mean() {
  std::vector<Input> tanks;
  for (const int held : hot_tanks_) tanks.push_back(state(held));
  for (const int held : cold_tanks_) tanks.push_back(state(held));
  add("coolant", tanks, {define(specific_heat_), answer(Raw::coolant_warming)},
      quantities({part("coolant")}),
      CoolantMean{part("coolant"), static_cast<int>(hot_tanks_.size())});
}

}  // namespace libloop
