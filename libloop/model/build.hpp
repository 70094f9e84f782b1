// From parts to a circuit: which elements one sealed loop has and how they are joined.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "libloop/model/model.hpp"
#include "libloop/network/circuit.hpp"

namespace libloop {

// The circuit's own answers; the Answer of answer.hpp follow from them. The budget's
// twelve rows come last, in their order, then one hottest point a die.
enum class Raw {
  rise,
  coolant_rise,
  coolant_flow,
  air_flow,
  core_heat,
  heat_in,
  heat_out,
  noise,
  coolant_warming,
  budget
};

inline constexpr int raw_budget = static_cast<int>(Raw::budget);
inline constexpr int raw_dies = raw_budget + static_cast<int>(budget_rows.size());

// Index of a budget row by key.
constexpr int budget(std::string_view key) {
  for (std::size_t i = 0; i < budget_rows.size(); ++i) {
    if (budget_rows[i].key == key) return raw_budget + static_cast<int>(i);
  }
  return -1;
}

// Where each sheet's continuous quantities stand among all of the model's.
struct Places {
  std::map<const Sheet*, std::vector<std::vector<int>>> of;  // sheet -> copy -> indices
};

struct Model::Setup {
  Cooler cooler;
  Bench bench;
  Sheet conditions;
  int cells = 1;
  std::vector<Quantity> quantities;
  Places places;
  std::array<int, 5> duty{};  // load, ambient, altitude, fan, pump
};

// What the solver needs to know about the circuit it gets.
struct Built {
  network::Circuit circuit;
  std::vector<int> die_states;
};

Built build(const Model::Setup& setup);

}  // namespace libloop
