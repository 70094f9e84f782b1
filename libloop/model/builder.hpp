// Builds the circuit: coolant parts between their places, air stacks between theirs, chips
// on their plates. One class, its members by subject in build.cpp, build_coolant.cpp,
// build_air.cpp and build_chips.cpp.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "libloop/model/air_stack.hpp"
#include "libloop/model/build.hpp"
#include "libloop/model/wiring.hpp"
#include "libloop/network/element.hpp"

namespace libloop {

// ---- short names for what elements read and write

inline network::Input flow(int branch) { return {network::Input::Kind::flow, branch}; }
inline network::Input inlet(int branch) { return {network::Input::Kind::inlet, branch}; }
inline network::Input state(int index) { return {network::Input::Kind::state, index}; }
inline network::Input aux(int index) { return {network::Input::Kind::aux, index}; }
inline network::Input node(int index) { return {network::Input::Kind::node, index}; }
inline network::Output drop(int branch) { return {network::Output::Kind::drop, branch}; }
inline network::Output outlet(int branch) { return {network::Output::Kind::outlet, branch}; }
inline network::Output heat(int index) { return {network::Output::Kind::heat, index}; }
inline network::Output node_heat(int index) { return {network::Output::Kind::node_heat, index}; }
inline network::Output capacity(int index) { return {network::Output::Kind::capacity, index}; }
inline network::Output define(int index) { return {network::Output::Kind::define, index}; }
inline network::Output answer(int index) { return {network::Output::Kind::answer, index}; }
inline network::Output answer(Raw raw) { return answer(static_cast<int>(raw)); }

class Builder {
 public:
  explicit Builder(const Model::Setup& setup);
  Built whole();

 private:
  // A core cut into zones, and what the coolant's side of each has.
  struct Core {
    BuiltRadiator* answers = nullptr;
    std::vector<const AirStack::ZonePlace*> zones;
    std::vector<std::vector<int>> branches, cells;  // by zone
  };
  struct Plate {
    int wall = 0, film = 0;  // state, auxiliary
  };

  // build.cpp
  network::Circuit& circuit() { return built_.circuit; }
  void reserve_answers();
  void append(std::vector<int>& all, const Sheet* sheet, int copy = 0) const;
  std::vector<int> quantities(std::initializer_list<const Sheet*> sheets, int copy = 0) const;
  std::vector<int> new_states(const std::string& name, int count);
  template <class Law>
  void add(const std::string& name, std::vector<network::Input> inputs,
           std::vector<network::Output> outputs, std::vector<int> q, Law law) {
    circuit().add(
        network::adapt(name, std::move(inputs), std::move(outputs), std::move(q), std::move(law)));
  }
  const Sheet* part(const char* kind) const { return &cooler_.the(kind); }

  // build_coolant.cpp
  void add_coolant();
  int coolant_node(int place) const { return coolant_nodes_[static_cast<std::size_t>(place)]; }
  int coolant_branch(const std::string& name, int from, int to, const std::vector<int>& states);
  void add_radiator(const CoolantPart& at, Core& core);
  int add_tank(const CoolantPart& at, const std::string& name, int from, int to, int frame);
  void add_pump(const CoolantPart& at);
  void add_tube(const CoolantPart& at);
  void add_plate(const CoolantPart& at);
  void add_reservoir(const CoolantPart& at);
  void add_fitting(const CoolantPart& at);
  void add_coolant_mean();

  // build_air.cpp
  void add_surroundings();
  void add_air_places();
  void stack_air();
  void add_stack(std::size_t run);
  void add_fan(const AirStack::FanPlace& at, const std::vector<int>& spaces);
  void add_opening(const AirStack::OpeningPlace& at, const std::vector<int>& spaces, bool shroud);
  void add_zone(Core& core, std::size_t zone, const std::vector<int>& spaces);
  int air_branch(const std::string& name, int from, int to, double guess);

  // build_chips.cpp
  void add_chips();
  void add_chip(BuiltChip& chip, const Plate& plate);
  void add_reading(const BuiltChip& chip);
  void add_noise();

  const Model::Setup& setup_;
  const Cooler& cooler_;
  const Bench& bench_;
  const int cells_;
  const bool ring_;
  Wiring wiring_;
  std::vector<AirStack> stacks_;
  std::map<const Sheet*, Core> cores_;
  std::map<const Sheet*, Plate> plates_;
  std::map<const Sheet*, std::string> names_;  // parts as they are called
  Built built_;

  network::Input around_{network::Input::Kind::aux, 0};
  int air_heat_ = network::nowhere;
  int specific_heat_ = 0;
  std::vector<int> coolant_nodes_, air_nodes_;  // by place
  std::vector<int> hot_tanks_, cold_tanks_;     // states
};

}  // namespace libloop
