// From parts to a circuit: which elements a loop has, how they are joined, and where its
// answers stand.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/model/model.hpp"
#include "libloop/network/circuit.hpp"

namespace libloop {

// Answers of the circuit that belong to the whole; those of chips and radiators follow.
enum class Raw {
  around,  // temperature of the surroundings
  air_flow,
  heat_in,
  heat_out,
  noise,
  coolant_warming,
  elsewhere,  // what nobody asks for
  count
};

// Index of a budget row by key.
constexpr int budget(std::string_view key) {
  for (std::size_t i = 0; i < budget_rows.size(); ++i) {
    if (budget_rows[i].key == key) return static_cast<int>(i);
  }
  return -1;
}

// Where each sheet's continuous quantities stand among all of the model's.
struct Places {
  std::map<const Sheet*, std::vector<std::vector<int>>> of;  // sheet -> copy -> indices
};

// A seat that carries a plate.
struct Seated {
  const Seat* seat = nullptr;
  const Sheet* plate = nullptr;
};

struct Model::Setup {
  Cooler cooler;
  Bench bench;
  Sheet conditions;
  int cells = 1;
  std::vector<Seated> seated;  // the first is what `rise` speaks of
  std::vector<Quantity> quantities;
  Places places;
  std::array<int, 5> duty{};  // load, ambient, altitude, fan, pump

  // Place of a continuous row of a sheet's first copy among the quantities; -1: none.
  int place(const Sheet& sheet, std::string_view row) const;
};

struct BuiltChip {
  const Seated* place = nullptr;
  std::string name;
  int rise = 0, coolant_flow = 0, power = 0, budget = 0, hottest = 0;  // first answer of each
  std::vector<int> dies;                                               // states
};

struct BuiltRadiator {
  const Sheet* sheet = nullptr;
  std::string name;
  int heat = 0, coolant = 0, intake = 0, air_flow = 0, air_mass = 0;  // answers
  double weight = 1.0;                                                // share of all cores' faces
  bool counts_air = false;  // in the air flow of the whole: no fan on its way does
};

// A part as a reader sees it: branches one behind the other between two places.
struct BuiltPart {
  std::string name;
  bool air = false;
  std::vector<int> branches;
  int from = 0, to = 0;    // nodes
  bool machine = false;    // a fan or a pump
  double free_flow = 0.0;  // kg/s, of a machine
  bool idle = false;       // a machine that stands still whatever the duty
};

// What the solver needs to know about the circuit it gets.
struct Built {
  network::Circuit circuit;
  int coolant = 0, air = 0;             // streams
  int surroundings = network::nowhere;  // the state, of surroundings that warm
  std::vector<BuiltChip> chips;
  std::vector<BuiltRadiator> radiators;
  std::vector<BuiltPart> parts;
  std::vector<const Sheet*> counted_fans;  // whose air counts in the air flow of the whole
};

Built build(const Model::Setup& setup);

}  // namespace libloop
