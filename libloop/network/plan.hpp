// Where everything goes: found once when a circuit is closed.
//
// Slopes are kept by branch, not by loop, since an element only touches what is near it.
// Rows of places: the drop of every branch, then states, auxiliaries and nodes; below
// them, for the way in between, what leaves every branch, the answers, and the capacities of
// the states. Columns: the flow of every branch, then states, auxiliaries and nodes.
#pragma once

#include <memory>
#include <vector>

#include "libloop/network/circuit.hpp"

namespace libloop::network {

struct Place {
  int row = 0, column = 0;
};

// Factors that turn an element's own slopes into those of the rows, by number: one, seven
// for every branch, one for every node.
namespace factor {
inline constexpr int one = 0;
enum OfBranch {
  from_start,       // of an inlet by the temperature where the branch starts
  from_end,         // of an inlet by the temperature where it ends
  turning,          // of an inlet by the flow, K s/kg
  into_start,       // share of what the branch brings to the node where it starts
  into_end,         // share of what it brings to the node where it ends
  inflow_forward,   // capacity rate that enters its first state, W/K
  inflow_backward,  // capacity rate that enters its last state, W/K
  of_branch
};
inline int branch(int index, OfBranch kind) { return 1 + of_branch * index + kind; }
inline int node(int branches, int index) { return 1 + of_branch * branches + index; }
}  // namespace factor

// The slope of an output by an input is added, times two factors, to a place.
struct Slot {
  int output = 0, input = 0;
  int place = 0;
  int by_input = factor::one, by_output = factor::one;
};

struct ElementPlan {
  std::vector<Slot> balance;
  std::vector<Slot> answer;
  std::vector<Slot> capacity;
};

// A slope at one place is added, times a factor, to another: from what leaves a branch to
// the node or state it enters.
struct Chain {
  int from = 0, to = 0, factor = factor::one;
};

// The slope of a state's capacity, and the state's row in the same column.
struct Stored {
  int state = 0;
  int from = 0, to = 0;  // places
};

// Whence a temperature: an unknown of x, or what leaves a branch.
struct Source {
  int unknown = -1;
  int outlet = -1;
};

// A branch as one node sees it.
struct Meeting {
  int branch = 0;
  double inward = 1.0;  // sign of a flow into the node
  int factor = 0;       // into_start or into_end
  int flow_place = 0;
};

struct Mixing {
  int node = 0, unknown = 0;
  int heat = -1;  // the unknown that is the specific heat; -1: the stream's constant
  double constant_heat = 0.0;
  bool heated = false;
  int own_place = 0, heat_place = -1;
  std::vector<Meeting> meetings;
};

// Coolant that enters the state at one end of a branch.
struct Inflow {
  int branch = 0;
  double inward = 1.0;  // sign of a flow that enters here
  int state_unknown = 0, heat_unknown = 0;
  int factor = 0;
  Source source;
  int flow_place = 0, heat_place = 0, source_place = -1;
};

// An entry of the matrix of loops: which slope goes where.
struct Scatter {
  int place = 0;
  int target = 0;
  double sign = 1.0;
  int ordered = 0;  // the same in the matrix as it is factored
};

struct Plan {
  int rows = 0;  // and columns: branches + states + auxiliaries + nodes
  std::vector<Place> places;
  std::vector<int> own_slope;  // by branch: place of its drop by its flow
  std::vector<int> own_aux;    // by auxiliary: place of its row by itself
  std::vector<int> own_state;  // by state: place of its row by itself
  std::vector<ElementPlan> elements;
  std::vector<int> inlets;      // branches whose inlet is asked for
  std::vector<Source> sources;  // by node; for a node that passes through: none
  std::vector<int> passing;     // nodes that pass through
  std::vector<int> other;       // by branch end, 2 b + (end): the branch met there, or -1
  std::vector<Mixing> mixing;
  std::vector<Inflow> inflows;
  std::vector<Chain> chains;
  std::vector<Stored> stored;
  bool dense = true;  // small enough for the matrix of loops
  std::vector<Scatter> scatter_all, scatter_flows;
  std::vector<int> order_all, order_flows;  // position of every unknown in what is factored
};

inline std::size_t at(int index) { return static_cast<std::size_t>(index); }

// From an unknown to its column (or its row), for states, auxiliaries and nodes.
inline int wide(const Circuit& circuit, int unknown) {
  return unknown - circuit.loops() + static_cast<int>(circuit.branches().size());
}

// The state whose row of places it is; -1 for a row of anything else.
inline int state_of(const Circuit& circuit, int row) {
  const int state = row - wide(circuit, circuit.state_row(0));
  return state >= 0 && state < circuit.states() ? state : -1;
}

// The answer that a row of places adds to; -1 for a row of anything else.
inline int answer_of(const Circuit& circuit, int row) {
  const int first = circuit.plan().rows + static_cast<int>(circuit.branches().size());
  return row >= first && row < first + circuit.answers() ? row - first : -1;
}

}  // namespace libloop::network
