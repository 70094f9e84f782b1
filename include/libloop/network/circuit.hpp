// The circuit: streams of coolant and air, states that store heat, and the elements that
// join them.
//
// You need this header to join elements into any graph: several pumps, parallel plates,
// radiators that draw each other's air, a case that warms its own. docs/theory/network.md
// derives what stands here.
//
// The equations are written once, as the right-hand side of the warm-up:
//   loops   the pressure drops around every independent loop sum to zero   (algebraic)
//   states  stored heat x dT/dt = heat in less heat out                    (differential)
//   aux     a value equals its definition (say, the specific heat of the stream's coolant)
//   nodes   a node's temperature is that of the mixture of what flows into it
// The operating point is the zero of all of them. Unknowns stand in this order: flows of
// the independent loops, temperatures of the states, auxiliary values, temperatures of
// nodes.
//
// A stream whose elements say nothing about outlets has no temperatures. Coolant stores
// heat: every branch of its stream begins and ends in a state, and the circuit adds the
// inflow, capacity rate x temperature, to the state where the flow enters. Where just two
// branches of coolant meet, the one's outlet is the other's inlet, and the node needs no
// unknown of its own unless an element asks for its temperature or heats it.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "libloop/network/element.hpp"
#include "libloop/network/graph.hpp"

namespace libloop::network {

// The least |flow|, kg/s, with which a stream is taken to carry heat: it keeps the
// equations regular in a loop that stands still (6e-8 L/min of water).
inline constexpr double least_flow = 1e-9;

// |m|, smooth, never below `least_flow`.
template <class T>
T carrying_flow(const T& m) {
  using std::sqrt;
  return sqrt(m * m + least_flow * least_flow);
}

// Whether a stream counts as running in its branch's direction. One at rest does, and the
// switch lies a little below: rounding at rest must not turn it to and fro.
template <class T>
bool runs_forward(const T& m) {
  return value_of(m) >= -1e-3 * least_flow;
}

// Heat that goes where nobody keeps count of it (surroundings that stay at ambient).
inline constexpr int nowhere = -1;

struct Branch {
  int stream = 0;
  int from = 0, to = 0;                 // nodes
  int first = nowhere, last = nowhere;  // states where a coolant branch begins and ends
  double guess = 0.01;                  // kg/s, where the solver starts
  std::string name;
};

struct Stream {
  std::string name;
  bool stores_heat = false;
  int specific_heat = -1;  // aux, of a stream that stores heat
  double air_heat = 0.0;   // J/(kg K), of a stream that stores none and has heated nodes
};

struct Node {
  int stream = 0;
  std::string name;
  bool given = false;  // its temperature is a state's or an auxiliary's: air from outside
  Input temperature{Input::Kind::aux, 0};
};

// What an evaluation computes besides residuals, answers and capacities.
enum class Slopes {
  none,
  by_unknown,  // slopes of the residuals
  of_answers,  // and those of the answers
  in_time      // and those of the capacities
};

// Values of one evaluation. Slopes stand at the places that the circuit found when it was
// closed; `linear.hpp` knows them.
struct Evaluation {
  std::vector<double> residual;  // unknowns
  std::vector<double> drops;     // loops: sum of |pressure drop| around, about
  std::vector<double> answer;    // answers
  std::vector<double> capacity;  // states
  std::vector<double> flow;      // branches, kg/s
  std::vector<double> drop;      // branches, Pa
  std::vector<double> outlet;    // branches, K
  std::vector<double> slope;     // places; kept by an evaluation without slopes

  // Scratch, kept between calls.
  std::vector<double> inlet, node_heat, weight, factor, in, value, magnitude;
  std::vector<Gradient> dual_in, dual_out;
  std::vector<Sum> sum;
};

// By unit of time.
struct Rates {
  std::vector<double> residual, capacity, answer;

  // Scratch, kept between calls.
  std::vector<double> drop, outlet;
  std::vector<Gradient> q;
};

struct Plan;  // where everything goes: libloop/network/plan.hpp

class Circuit {
 public:
  explicit Circuit(int answers) : answers_(answers) {}

  int add_state(std::string name);
  int add_aux(std::string name, double first_guess);
  int add_stream(Stream stream);
  int add_node(int stream, std::string name = {});
  // A node whose temperature is a state's or an auxiliary's: air from outside.
  int add_node(int stream, Input temperature, std::string name = {});
  int add_branch(Branch branch);
  Element& add(std::unique_ptr<Element> element);
  // Finds the independent loops and where every slope goes. A part that no loop goes
  // through carries no flow. Throws std::logic_error when the description contradicts
  // itself: an outlet that nobody or several state, a temperature asked for that none has.
  void close();

  // Hands every element its quantities.
  void prepare(std::span<const double> quantities);
  // The same for those elements only that have one of the quantities `moved`: for what
  // moves in time.
  void prepare(std::span<const int> moved, std::span<const double> values);

  int unknowns() const { return unknowns_; }
  int loops() const { return static_cast<int>(forest_.chords.size()); }
  int states() const { return static_cast<int>(states_.size()); }
  int auxiliaries() const { return static_cast<int>(aux_.size()); }
  int quantities() const { return quantities_; }
  int answers() const { return answers_; }
  int state_row(int index) const { return loops() + index; }
  int aux_row(int index) const { return loops() + states() + index; }
  // -1 for a node whose temperature is given or passes through.
  int node_row(int node) const { return node_rows_[static_cast<std::size_t>(node)]; }
  // The branch whose flow is the loop's. Loops stand stream by stream.
  int chord(int loop) const { return forest_.chords[static_cast<std::size_t>(loop)]; }

  const std::string& state(int index) const { return states_[static_cast<std::size_t>(index)]; }
  // Of an unknown, for messages.
  std::string name(int unknown) const;
  const std::vector<Stream>& streams() const { return streams_; }
  const std::vector<Node>& nodes() const { return nodes_; }
  const std::vector<Branch>& branches() const { return branches_; }
  const std::vector<std::unique_ptr<Element>>& elements() const { return elements_; }

  // Flows of all branches, and of one, kg/s.
  std::vector<double> flows(std::span<const double> x) const;
  double flow(std::span<const double> x, int branch) const;
  // By node, Pa, relative to the first node of each connected piece; after an evaluation.
  std::vector<double> pressures(const Evaluation& work) const;
  // By node, K; after an evaluation at x. Zero in a stream without temperatures.
  std::vector<double> temperatures(std::span<const double> x, const Evaluation& work) const;

  // First guess: the branches' own, and every state and node at `temperature` (K).
  std::vector<double> start(double temperature) const;

  void evaluate(std::span<const double> x, Slopes slopes, Evaluation& out) const;
  // Adds, for every answer and quantity, the answer's own slope less that of all
  // residuals times `weight` (answers x rows of places). After an evaluation at x with
  // slopes. `total` is row-major, answers x quantities.
  void add_quantity_slopes(std::span<const double> x, std::span<const double> weight,
                           Evaluation& work, std::vector<double>& total) const;
  // How residuals, capacities and answers move at x while the quantities `moved` do, by
  // unit of time. After an evaluation at x.
  void rates(std::span<const double> x, std::span<const int> moved, std::span<const double> rate,
             Evaluation& work, Rates& out) const;
  void notes(std::span<const double> x, Notes& notes) const;

  const Plan& plan() const { return *plan_; }
  const Forest& forest() const { return forest_; }
  const std::vector<Edge>& edges() const { return edges_; }

 private:
  friend class Planner;

  void gather(const Element& e, std::span<const double> x, Evaluation& out) const;
  void add_value(const Output& output, double value, Evaluation& out) const;
  void evaluate_element(std::size_t index, Slopes slopes, Evaluation& out) const;
  void reset(Slopes slopes, Evaluation& out) const;
  void set_inlets(std::span<const double> x, Evaluation& out) const;
  void set_weights(std::span<const double> x, Evaluation& out) const;
  void mix(std::span<const double> x, Slopes slopes, Evaluation& out) const;
  void set_inflow_factors(std::span<const double> x, Evaluation& out) const;
  void add_inflows(std::span<const double> x, Slopes slopes, Evaluation& out) const;
  void close_loops(Evaluation& out) const;
  void add_rate(const Output& output, double rate, const Evaluation& work, Rates& out) const;
  void close_definitions(std::span<const double> x, Slopes slopes, Evaluation& out) const;
  std::vector<double> outlet_weights(std::span<const double> row_weight,
                                     const Evaluation& work) const;
  double output_weight(const Output& output, std::span<const double> row_weight,
                       std::span<const double> outlet_weight, const Evaluation& work) const;
  std::vector<double> element_weights(const Element& element, std::span<const double> weight,
                                      const std::vector<std::vector<double>>& by_outlet,
                                      const Evaluation& work) const;
  void prepare_element(std::size_t index);
  std::vector<int> users_of(std::span<const int> moved) const;

  int answers_;
  int quantities_ = 0;
  int unknowns_ = 0;
  std::vector<double> values_;
  std::vector<double> local_;  // one element's quantities
  std::vector<std::string> states_;
  std::vector<std::pair<std::string, double>> aux_;
  std::vector<Stream> streams_;
  std::vector<Node> nodes_;
  std::vector<Branch> branches_;
  std::vector<std::unique_ptr<Element>> elements_;
  // Found by close().
  std::vector<Edge> edges_;
  Forest forest_;
  std::vector<int> node_rows_;
  std::vector<std::vector<int>> users_;  // by quantity: elements that have it
  std::shared_ptr<const Plan> plan_;
};

}  // namespace libloop::network
