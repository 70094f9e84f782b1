// The air: the surroundings, places where ways meet, and the ways between them.
#include <fmt/format.h>

#include "libloop/fluid/air.hpp"
#include "libloop/model/builder.hpp"
#include "libloop/part/board_element.hpp"
#include "libloop/part/case_element.hpp"
#include "libloop/part/core_zone.hpp"
#include "libloop/part/fan_element.hpp"
#include "libloop/part/opening_element.hpp"
#include "libloop/part/shroud_element.hpp"

namespace libloop {

using network::Input;
using network::Output;

void Builder::stack_air() {
  for (const AirRun& run : wiring_.air) stacks_.push_back(stack_of(run));
  for (const AirStack& stack : stacks_) {
    for (const AirStack::ZonePlace& zone : stack.zones) {
      cores_[zone.radiator].zones.push_back(&zone);
    }
  }
}

void Builder::add_surroundings() {
  SurroundingsElement air{&bench_.surroundings, &setup_.conditions};
  std::vector<Output> outputs;
  if (air.warming()) {
    const int index = circuit().add_state("surroundings");
    around_ = state(index);
    built_.surroundings = index;
    air_heat_ = index;
    outputs = {heat(index), capacity(index)};
  } else {
    const int index = circuit().add_aux("surroundings", 298.15);
    around_ = aux(index);
    outputs = {define(index)};
  }
  outputs.push_back(answer(Raw::around));
  add("surroundings", {around_}, outputs, quantities({&bench_.surroundings, &setup_.conditions}),
      air);
}

void Builder::add_air_places() {
  network::Stream stream;
  stream.name = "air";
  stream.air_heat = fluid::air_specific_heat;
  built_.air = circuit().add_stream(stream);
  for (const AirPlace& place : wiring_.air_places) {
    const bool outside = air_nodes_.empty();
    air_nodes_.push_back(outside ? circuit().add_node(built_.air, around_, place.name)
                                 : circuit().add_node(built_.air, place.name));
    if (place.enclosure == nullptr) continue;
    add(place.name, {node(air_nodes_.back()), around_},
        {node_heat(air_nodes_.back()), heat(air_heat_), answer(Raw::heat_in),
         answer(Raw::heat_out)},
        quantities({place.enclosure}), CaseElement{place.enclosure});
  }
}

int Builder::air_branch(const std::string& name, int from, int to, double guess) {
  const int branch =
      circuit().add_branch({built_.air, from, to, network::nowhere, network::nowhere, guess, name});
  built_.parts.push_back({name, true, {branch}, from, to});
  return branch;
}

void Builder::add_stack(std::size_t run) {
  const AirStack& stack = stacks_[run];
  std::vector<int> spaces{air_nodes_[static_cast<std::size_t>(wiring_.air[run].from)],
                          air_nodes_[static_cast<std::size_t>(wiring_.air[run].to)]};
  if (stack.fans.empty() && !stack.zones.empty()) {
    cores_.at(stack.zones.front().radiator).answers->counts_air = true;
  }
  const std::string name = stacks_.size() > 1 ? fmt::format("air path {}", run + 1) : "air path";
  for (int s = static_cast<int>(spaces.size()); s < stack.spaces; ++s) {
    spaces.push_back(circuit().add_node(built_.air, fmt::format("{} space {}", name, s - 1)));
  }
  for (const AirStack::FanPlace& fan : stack.fans) add_fan(fan, spaces);
  for (const AirStack::OpeningPlace& opening : stack.openings) add_opening(opening, spaces, false);
  for (const AirStack::OpeningPlace& shroud : stack.shrouds) add_opening(shroud, spaces, true);
  for (const AirStack::ZonePlace& zone : stack.zones) {
    Core& core = cores_.at(zone.radiator);
    for (std::size_t z = 0; z < core.zones.size(); ++z) {
      if (core.zones[z] == &zone) add_zone(core, z, spaces);
    }
  }
}

void Builder::add_fan(const AirStack::FanPlace& at, const std::vector<int>& spaces) {
  const auto space = [&](int s) { return spaces[static_cast<std::size_t>(s)]; };
  const bool copies = at.sheet->count("count") > 1;
  const std::string name =
      copies ? fmt::format("{}.{}", names_.at(at.sheet), at.copy + 1) : names_.at(at.sheet);
  const double free_flow = stated_free_flow(*at.sheet) * rated_air_density;
  const int b = air_branch(name, space(at.from), space(at.to), 0.6 * free_flow);
  built_.parts.back().machine = true;
  built_.parts.back().idle = at.sheet->typical("speed_share") == 0.0;
  built_.parts.back().free_flow = free_flow;
  if (at.counts && at.copy == 0) built_.counted_fans.push_back(at.sheet);
  FanElement fan;
  fan.fan = at.sheet;
  fan.conditions = &setup_.conditions;
  fan.size = at.size;
  fan.before_core = at.before_core;
  add(name, {flow(b), inlet(b)},
      {drop(b), outlet(b), answer(at.counts ? Raw::air_flow : Raw::elsewhere)},
      quantities({at.sheet, &setup_.conditions}, at.copy), fan);
  if (at.uncovered <= 0.0 && at.overhang <= 0.0) return;
  const std::string leak = "leak beside " + name;
  const int beside = air_branch(leak, space(at.leak_from), space(at.leak_to), 0.02 * free_flow);
  add(leak, {flow(beside), inlet(beside)}, {drop(beside), outlet(beside)},
      quantities({at.leak_of, &setup_.conditions}),
      Leak{at.leak_of, &setup_.conditions, at.uncovered, at.overhang, at.size, name});
}

void Builder::add_opening(const AirStack::OpeningPlace& at, const std::vector<int>& spaces,
                          bool shroud) {
  constexpr double usual = 0.03, little = 0.001;  // kg/s, first guesses
  const std::string& part = names_.at(at.sheet);
  const std::string name = shroud ? "leak of " + part : part;
  const int b = air_branch(name, spaces[static_cast<std::size_t>(at.from)],
                           spaces[static_cast<std::size_t>(at.to)], shroud ? little : usual);
  const std::vector<Input> inputs{flow(b), inlet(b)};
  const std::vector<Output> outputs{drop(b), outlet(b)};
  const std::vector<int> q = quantities({at.sheet, &setup_.conditions});
  if (shroud) {
    add(name, inputs, outputs, q, ShroudLeak{at.sheet, &setup_.conditions});
  } else {
    add(name, inputs, outputs, q, OpeningElement{at.sheet, &setup_.conditions});
  }
}

void Builder::add_zone(Core& core, std::size_t z, const std::vector<int>& spaces) {
  const AirStack::ZonePlace& at = *core.zones[z];
  const std::string name = core.zones.size() > 1
                               ? fmt::format("{} zone {}", core.answers->name, z + 1)
                               : core.answers->name;
  CoreZone zone;
  zone.radiator = at.radiator;
  zone.coolant = part("coolant");
  zone.laws = &bench_.law;
  zone.conditions = &setup_.conditions;
  zone.hub_shadow = at.hub_shadow;
  zone.shroud = at.shroud;
  zone.length_share = at.share;
  zone.covered_width = at.covered_width;
  zone.air = at.air;
  zone.cells = cells_;
  std::vector<Input> inputs;
  std::vector<Output> outputs;
  for (const int b : core.branches[z]) inputs.push_back(flow(b));
  inputs.push_back(aux(specific_heat_));
  int air = -1;
  if (at.air) {
    constexpr double usual = 0.02;  // kg/s, a first guess
    air = air_branch(name, spaces[static_cast<std::size_t>(at.from)],
                     spaces[static_cast<std::size_t>(at.to)], usual);
    inputs.push_back(flow(air));
    inputs.push_back(inlet(air));
  }
  for (const int c : core.cells[z]) inputs.push_back(state(c));
  if (zone.reads_entering()) {
    for (const int b : core.branches[z]) inputs.push_back(inlet(b));
  }
  for (const int b : core.branches[z]) outputs.push_back(drop(b));
  for (const int b : core.branches[z]) outputs.push_back(outlet(b));
  for (const int c : core.cells[z]) outputs.push_back(heat(c));
  for (const int c : core.cells[z]) outputs.push_back(capacity(c));
  for (const int c : core.cells[z]) outputs.push_back(capacity(c));
  if (at.air) {
    outputs.push_back(drop(air));
    outputs.push_back(outlet(air));
  }
  outputs.push_back(answer(core.answers->heat));
  outputs.push_back(answer(core.answers->coolant));
  if (at.air) {
    outputs.push_back(answer(Raw::heat_out));
    outputs.push_back(heat(air_heat_));
    outputs.push_back(answer(core.answers->intake));
    outputs.push_back(answer(core.answers->air_flow));
    outputs.push_back(answer(core.answers->air_mass));
  }
  std::vector<int> q = quantities({at.radiator, part("coolant"), &bench_.law, &setup_.conditions});
  if (at.shroud != nullptr) append(q, at.shroud);
  add(name, inputs, outputs, std::move(q), std::move(zone));
}

}  // namespace libloop
