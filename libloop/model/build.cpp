#include "libloop/model/build.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/model/coolant_mean.hpp"
#include "libloop/model/noise_source.hpp"
#include "libloop/model/stack.hpp"
#include "libloop/part/board_element.hpp"
#include "libloop/part/core_zone.hpp"
#include "libloop/part/fan_element.hpp"
#include "libloop/part/plate_element.hpp"
#include "libloop/part/pump_element.hpp"
#include "libloop/part/tank.hpp"
#include "libloop/part/tube_element.hpp"

namespace libloop {
namespace {

using network::Branch;
using network::Input;
using network::Output;

Input flow(int branch) { return {Input::Kind::flow, branch}; }
Input inlet(int branch) { return {Input::Kind::inlet, branch}; }
Input state(int index) { return {Input::Kind::state, index}; }
Input aux(int index) { return {Input::Kind::aux, index}; }
Output drop(int branch) { return {Output::Kind::drop, branch}; }
Output outlet(int branch) { return {Output::Kind::outlet, branch}; }
Output heat(int index) { return {Output::Kind::heat, index}; }
Output capacity(int index) { return {Output::Kind::capacity, index}; }
Output define(int index) { return {Output::Kind::define, index}; }
Output answer(Raw raw) { return {Output::Kind::answer, static_cast<int>(raw)}; }
Output answer(int index) { return {Output::Kind::answer, index}; }

// One fan's place on the core.
struct Zone {
  const Sheet* fan = nullptr;  // null: behind no fan
  int copy = 0;
  double size = 0.0;          // m
  double length_share = 0.0;  // of the face length
  double covered_width = 1.0;
};

// Builds the circuit of one sealed loop, part by part, in the order the coolant takes.
class Builder {
 public:
  explicit Builder(const Model::Setup& setup)
      : setup_(setup),
        cooler_(setup.cooler),
        bench_(setup.bench),
        cells_(setup.cells),
        built_{network::Circuit(raw_dies + static_cast<int>(setup.bench.dies.size())), {}} {}

  Built whole() {
    zones_ = place_fans();
    add_surroundings();
    add_air_stream();
    add_coolant_stream();
    add_states();
    add_fans_and_core();
    add_pump_hoses_plate();
    add_chip_and_board();
    add_noise();
    built_.circuit.close();
    return std::move(built_);
  }

 private:
  network::Circuit& circuit() { return built_.circuit; }

  std::vector<int> quantities(std::initializer_list<const Sheet*> sheets, int copy = 0) const {
    std::vector<int> all;
    for (const Sheet* sheet : sheets) append(all, sheet, copy);
    return all;
  }

  void append(std::vector<int>& all, const Sheet* sheet, int copy = 0) const {
    const std::vector<std::vector<int>>& copies = setup_.places.of.at(sheet);
    const std::size_t which = std::min(static_cast<std::size_t>(copy), copies.size() - 1);
    all.insert(all.end(), copies[which].begin(), copies[which].end());
  }

  template <class Law>
  void add(std::string name, std::vector<Input> inputs, std::vector<Output> outputs,
           std::vector<int> q, Law law) {
    circuit().add(network::adapt(std::move(name), std::move(inputs), std::move(outputs),
                                 std::move(q), std::move(law)));
  }

  std::vector<int> new_states(const std::string& name, int count) {
    std::vector<int> states;
    for (int i = 0; i < count; ++i) {
      states.push_back(circuit().add_state(count == 1 ? name : fmt::format("{} {}", name, i + 1)));
    }
    return states;
  }

  std::vector<Zone> place_fans() const {
    const RadiatorClass& grid =
        radiator_classes[static_cast<std::size_t>(cooler_.radiator.count("class"))];
    const double length = grid.fans * grid.fan_size;
    std::vector<Zone> zones;
    double covered = 0.0;
    for (const Sheet& fan : cooler_.fans) {
      const double size = fan.given("size") ? fan.typical("size") : grid.fan_size;
      for (int copy = 0; copy < fan.count("count"); ++copy) {
        zones.push_back({&fan, copy, size, size / length, size / grid.fan_size});
        covered += size / length;
      }
    }
    constexpr double sliver = 1e-6;
    if (covered < 1.0 - sliver) zones.push_back({nullptr, 0, 0.0, 1.0 - covered, 1.0});
    return zones;
  }

  // Face without a fan over the whole face, shared by all fans.
  double uncovered_per_fan() const {
    double covered = 0.0;
    int fans = 0;
    for (const Zone& zone : zones_) {
      if (zone.fan == nullptr) continue;
      covered += zone.length_share * zone.covered_width;
      ++fans;
    }
    return (1.0 - covered) / fans;
  }

  void add_surroundings() {
    SurroundingsElement air{&bench_.surroundings, &bench_.sensor, &setup_.conditions};
    std::vector<Output> outputs;
    if (air.warming()) {
      const int index = circuit().add_state("surroundings");
      around_ = state(index);
      air_heat_ = index;
      outputs = {heat(index), capacity(index)};
    } else {
      const int index = circuit().add_aux("surroundings", 298.15);
      around_ = aux(index);
      outputs = {define(index)};
    }
    for (const Output& o :
         {answer(Raw::rise), answer(Raw::coolant_rise), answer(budget("cold_coolant")),
          answer(budget("sensor")), answer(budget("surroundings"))}) {
      outputs.push_back(o);
    }
    add("surroundings", {around_}, outputs,
        quantities({&bench_.surroundings, &bench_.sensor, &setup_.conditions}), air);
  }

  void add_air_stream() {
    network::Stream air;
    air.name = "air";
    air_ = circuit().add_stream(air);
    outside_ = circuit().add_node(air_, around_);
  }

  void add_coolant_stream() {
    constexpr double usual = 3800.0;  // J/(kg K), a first guess
    specific_heat_ = circuit().add_aux("specific heat of the coolant", usual);
    coolant_ = circuit().add_stream({"coolant", true, specific_heat_});
  }

  void add_states() {
    passes_ = cooler_.radiator.count("passes");
    supply_ = new_states("supply hose", cells_);
    pump_ = circuit().add_state("pump");
    plate_ = new_states("coolant in the plate", cells_);
    return_ = new_states("return hose", cells_);
    tanks_ = new_states("tank", passes_ + 1);
    frame_ = circuit().add_state("frame");
    wall_ = circuit().add_state("cold plate");
    spreader_ = circuit().add_state("spreader");
    board_ = circuit().add_state("board");
    built_.die_states = new_states("die", static_cast<int>(bench_.dies.size()));
    constexpr double usual_film = 100.0;  // W/K, a first guess
    film_ = circuit().add_aux("film in the plate", usual_film);
  }

  // Appends a branch of coolant from the current end of the chain.
  int coolant_branch(const std::string& name, const std::vector<int>& states) {
    const double guess = 0.3 * cooler_.pump.typical("free_flow") * 1000.0;
    const int to = circuit().add_node(coolant_);
    const int branch = circuit().add_branch(
        {coolant_, coolant_end_, to, states.front(), states.back(), guess, name});
    coolant_end_ = to;
    return branch;
  }

  // The last branch of the ring comes back to where the first one began.
  int closing_branch(const std::string& name, const std::vector<int>& states) {
    const double guess = 0.3 * cooler_.pump.typical("free_flow") * 1000.0;
    return circuit().add_branch(
        {coolant_, coolant_end_, coolant_begin_, states.front(), states.back(), guess, name});
  }

  void add_tank(int index) {
    const Tank tank{&cooler_.radiator,   &cooler_.coolant, &cooler_.tube,
                    &cooler_.cold_plate, &cooler_.pump,    passes_ + 1};
    const int held = tanks_[static_cast<std::size_t>(index)];
    const int b = coolant_branch(circuit().state(held), {held});
    add(circuit().state(held), {flow(b), aux(specific_heat_), state(held), state(frame_), around_},
        {drop(b), outlet(b), heat(held), heat(frame_), heat(air_heat_), capacity(held),
         answer(Raw::heat_out)},
        quantities({&cooler_.radiator, &cooler_.coolant, &cooler_.tube, &cooler_.cold_plate,
                    &cooler_.pump}),
        tank);
  }

  // Radiator: tank, pass, tank, pass, ..., tank; then fans and core zones in the air.
  void add_fans_and_core() {
    coolant_begin_ = coolant_end_ = circuit().add_node(coolant_);
    const std::size_t zones = zones_.size();
    std::vector<std::vector<int>> branch(zones), cells(zones);
    add_tank(0);
    for (int pass = 0; pass < passes_; ++pass) {
      for (std::size_t step = 0; step < zones; ++step) {
        const std::size_t z = pass % 2 == 0 ? step : zones - 1 - step;
        const std::string name = fmt::format("core zone {} pass {}", z + 1, pass + 1);
        const std::vector<int> states = new_states(name, cells_);
        branch[z].push_back(coolant_branch(name, states));
        cells[z].insert(cells[z].end(), states.begin(), states.end());
      }
      add_tank(pass + 1);
    }
    for (std::size_t z = 0; z < zones; ++z) add_zone(z, branch[z], cells[z]);
    add("frame", {state(frame_), around_},
        {heat(frame_), heat(air_heat_), capacity(frame_), answer(Raw::heat_out)},
        quantities({&cooler_.radiator}), Frame{&cooler_.radiator});
    const CoolantMean mean{&cooler_.coolant};
    add("coolant", {state(tanks_.front()), state(tanks_.back())},
        {define(specific_heat_), answer(Raw::coolant_warming)}, quantities({&cooler_.coolant}),
        mean);
  }

  void add_zone(std::size_t z, const std::vector<int>& branches, const std::vector<int>& cells) {
    const Zone& zone = zones_[z];
    int core_air = -1;
    if (zone.fan == nullptr) {
      add_core(z, branches, cells, core_air);
      return;
    }
    const bool push = zone.fan->choice("side") == "push";
    const double free_flow = zone.fan->typical("free_flow") * 1.2;
    const int plenum = circuit().add_node(air_);
    const auto branch = [&](bool enters, const std::string& name, double guess) {
      const int from = enters ? outside_ : plenum, to = enters ? plenum : outside_;
      return circuit().add_branch(
          {air_, from, to, network::nowhere, network::nowhere, guess * free_flow, name});
    };
    const std::string fan_name = fmt::format("fan {}", z + 1);
    const int fan_air = branch(push, fan_name, 0.6);
    core_air = branch(!push, fmt::format("core zone {}", z + 1), 0.6);
    const auto add_fan = [&] {
      add(fan_name, {flow(fan_air), inlet(fan_air)},
          {drop(fan_air), outlet(fan_air), answer(Raw::air_flow)},
          quantities({zone.fan, &setup_.conditions}, zone.copy),
          FanElement{zone.fan, &setup_.conditions, zone.size});
    };
    const double uncovered = uncovered_per_fan();
    const auto add_leak = [&] {
      constexpr double sliver = 1e-6;
      if (uncovered < sliver) return;
      const std::string name = fmt::format("leak {}", z + 1);
      const int leak = branch(!push, name, 0.02);
      add(name, {flow(leak), inlet(leak)}, {drop(leak), outlet(leak)},
          quantities({&cooler_.radiator, &setup_.conditions}),
          Leak{&cooler_.radiator, &setup_.conditions, uncovered});
    };
    // In the order in which air meets them.
    if (push) add_fan();
    add_leak();
    add_core(z, branches, cells, core_air);
    if (!push) add_fan();
  }

  void add_core(std::size_t z, const std::vector<int>& branches, const std::vector<int>& cells,
                int core_air) {
    const Zone& zone = zones_[z];
    const bool air = zone.fan != nullptr;
    CoreZone core{&cooler_.radiator, &cooler_.coolant,   &bench_.law, &setup_.conditions,
                  zone.length_share, zone.covered_width, air,         cells_};
    std::vector<Input> inputs;
    std::vector<Output> outputs;
    for (const int b : branches) inputs.push_back(flow(b));
    inputs.push_back(aux(specific_heat_));
    if (air) {
      inputs.push_back(flow(core_air));
      inputs.push_back(inlet(core_air));
    }
    for (const int c : cells) inputs.push_back(state(c));
    for (const int b : branches) outputs.push_back(drop(b));
    for (const int b : branches) outputs.push_back(outlet(b));
    for (const int c : cells) outputs.push_back(heat(c));
    for (const int c : cells) outputs.push_back(capacity(c));
    if (air) {
      outputs.push_back(drop(core_air));
      outputs.push_back(outlet(core_air));
    }
    outputs.push_back(answer(Raw::core_heat));
    outputs.push_back(answer(Raw::coolant_rise));
    if (air) {
      outputs.push_back(answer(Raw::heat_out));
      outputs.push_back(heat(air_heat_));
    }
    add(fmt::format("core zone {}", z + 1), inputs, outputs,
        quantities({&cooler_.radiator, &cooler_.coolant, &bench_.law, &setup_.conditions}),
        std::move(core));
  }

  void add_hose(const std::string& name, const std::vector<int>& states, bool closes) {
    const int b = closes ? closing_branch(name, states) : coolant_branch(name, states);
    std::vector<Input> inputs{flow(b), aux(specific_heat_), around_};
    std::vector<Output> outputs{drop(b), outlet(b)};
    for (const int s : states) inputs.push_back(state(s));
    for (const int s : states) outputs.push_back(heat(s));
    outputs.push_back(heat(air_heat_));
    for (const int s : states) outputs.push_back(capacity(s));
    outputs.push_back(answer(Raw::heat_out));
    add(name, inputs, outputs, quantities({&cooler_.tube, &cooler_.coolant}),
        TubeElement{&cooler_.tube, &cooler_.coolant, cells_});
  }

  void add_pump_hoses_plate() {
    add_hose("supply hose", supply_, false);
    const int pump = coolant_branch("pump", {pump_});
    add("pump", {flow(pump), aux(specific_heat_), state(pump_)},
        {drop(pump), outlet(pump), heat(pump_), capacity(pump_), answer(Raw::coolant_flow),
         answer(Raw::heat_in), answer(budget("cold_coolant")), answer(budget("coolant_warming"))},
        quantities({&cooler_.pump, &cooler_.coolant, &setup_.conditions}),
        PumpElement{&cooler_.pump, &cooler_.coolant, &setup_.conditions});
    const int plate = coolant_branch("cold plate", plate_);
    std::vector<Input> inputs{flow(plate), aux(specific_heat_), state(wall_)};
    std::vector<Output> outputs{drop(plate), outlet(plate)};
    for (const int s : plate_) inputs.push_back(state(s));
    for (const int s : plate_) outputs.push_back(heat(s));
    outputs.push_back(heat(wall_));
    for (const int s : plate_) outputs.push_back(capacity(s));
    for (const Output& o : {capacity(wall_), define(film_), answer(budget("coolant_warming")),
                            answer(budget("convection")), answer(budget("convection"))}) {
      outputs.push_back(o);
    }
    add("cold plate", inputs, outputs,
        quantities({&cooler_.cold_plate, &cooler_.coolant, &bench_.law}),
        PlateElement{&cooler_.cold_plate, &cooler_.coolant, &bench_.law, cells_});
    add_hose("return hose", return_, true);
  }

  void add_chip_and_board() {
    Stack stack;
    stack.chip = &bench_.chip;
    stack.paste = &bench_.paste;
    stack.plate = &cooler_.cold_plate;
    stack.board = &bench_.board;
    stack.bench = &bench_.bench;
    stack.sensor = &bench_.sensor;
    stack.laws = &bench_.law;
    stack.conditions = &setup_.conditions;
    std::vector<int> q =
        quantities({&bench_.chip, &bench_.paste, &cooler_.cold_plate, &bench_.board, &bench_.bench,
                    &bench_.sensor, &bench_.law, &setup_.conditions});
    std::vector<Input> inputs{aux(film_), state(wall_), state(spreader_), state(board_)};
    std::vector<Output> outputs{heat(wall_), heat(spreader_), heat(board_)};
    for (std::size_t i = 0; i < bench_.dies.size(); ++i) {
      stack.dies.push_back(&bench_.dies[i]);
      append(q, &bench_.dies[i]);
      inputs.push_back(state(built_.die_states[i]));
      outputs.push_back(heat(built_.die_states[i]));
    }
    outputs.push_back(capacity(spreader_));
    for (const int die : built_.die_states) outputs.push_back(capacity(die));
    outputs.push_back(answer(Raw::rise));
    outputs.push_back(answer(Raw::heat_in));
    for (const char* row :
         {"base", "paste", "spreader", "spreading", "solder", "die", "hottest", "sensor"}) {
      outputs.push_back(answer(budget(row)));
    }
    for (int i = 0; i < static_cast<int>(bench_.dies.size()); ++i) {
      outputs.push_back(answer(raw_dies + i));
    }
    add("chip", inputs, outputs, q, std::move(stack));
    add("board", {state(board_), around_},
        {heat(board_), heat(air_heat_), capacity(board_), answer(Raw::heat_in),
         answer(Raw::heat_out)},
        quantities({&bench_.board, &setup_.conditions}),
        BoardElement{&bench_.board, &setup_.conditions});
  }

  void add_noise() {
    for (const Zone& zone : zones_) {
      if (zone.fan == nullptr) continue;
      add("noise of a fan", {}, {answer(Raw::noise)},
          quantities({zone.fan, &bench_.bench, &setup_.conditions}, zone.copy),
          FanNoise{zone.fan, &bench_.bench, &setup_.conditions});
    }
    add("noise of pump and room", {}, {answer(Raw::noise)},
        quantities({&cooler_.pump, &bench_.bench, &setup_.conditions}),
        PumpNoise{&cooler_.pump, &bench_.bench, &setup_.conditions});
  }

  const Model::Setup& setup_;
  const Cooler& cooler_;
  const Bench& bench_;
  int cells_;
  Built built_;
  std::vector<Zone> zones_;
  Input around_{Input::Kind::aux, 0};
  int air_heat_ = network::nowhere;
  int air_ = 0, outside_ = 0, coolant_ = 0, coolant_begin_ = 0, coolant_end_ = 0;
  int specific_heat_ = 0, film_ = 0, passes_ = 0;
  int pump_ = 0, frame_ = 0, wall_ = 0, spreader_ = 0, board_ = 0;
  std::vector<int> supply_, plate_, return_, tanks_;
};

}  // namespace

Built build(const Model::Setup& setup) { return Builder(setup).whole(); }

}  // namespace libloop
