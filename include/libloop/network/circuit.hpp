// The circuit: streams of coolant and air, states that store heat, and the elements that
// join them.
//
// The equations are written once, as the right-hand side of the warm-up:
//   loops   the pressure drops around every independent loop sum to zero   (algebraic)
//   states  stored heat x dT/dt = heat in less heat out                    (differential)
//   aux     a value equals its definition (say, the specific heat of the stream's coolant)
// The operating point is the zero of all of them. Unknowns stand in this order: flows of
// the independent loops, temperatures of the states, auxiliary values.
//
// Coolant stores heat: every branch of its stream begins and ends in a state, and what
// leaves a branch depends on its own states only. The circuit mixes what meets at a node
// and adds the inflow, capacity rate x temperature, to the state where a branch begins.
// Air stores none: its temperatures follow from inlet to outlet along the flow.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "libloop/network/element.hpp"

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
};

// Residuals, and their derivatives by unknowns and, when asked for, by quantities.
struct Evaluation {
  std::vector<double> residual;      // unknowns
  std::vector<double> drops;         // loops: sum of |pressure drop| around
  std::vector<double> slope;         // row-major, unknowns x columns
  std::vector<double> answer;        // answers
  std::vector<double> answer_slope;  // row-major, answers x columns; by_quantity only
  std::vector<double> capacity;      // states
  int columns = 0;                   // unknowns, or unknowns + quantities

  // Scratch, kept between calls: what leaves the branches, and one element's numbers.
  std::vector<double> outlet, outlet_slope, in, value, inlet_slope;
  std::vector<Gradient> dual_in, dual_out;
};

enum class Slopes { none, by_unknown, by_quantity };

class Circuit {
 public:
  explicit Circuit(int answers) : answers_(answers) {}

  int add_state(std::string name);
  int add_aux(std::string name, double first_guess);
  int add_stream(Stream stream);
  int add_node(int stream);
  // A node whose temperature is a state's or an auxiliary's: air from outside.
  int add_node(int stream, Input temperature);
  int add_branch(Branch branch);
  // Elements on a stream of air must be added in the order in which air meets them.
  Element& add(std::unique_ptr<Element> element);
  // Finds the independent loops. Throws std::logic_error when a branch hangs loose.
  void close();

  // Hands every element its quantities.
  void prepare(std::span<const double> quantities);

  int unknowns() const { return loops_ + states() + static_cast<int>(aux_.size()); }
  int loops() const { return loops_; }
  int states() const { return static_cast<int>(states_.size()); }
  int quantities() const { return quantities_; }
  int answers() const { return answers_; }
  const std::string& state(int index) const { return states_[static_cast<std::size_t>(index)]; }
  int state_row(int index) const { return loops_ + index; }
  int aux_row(int index) const { return loops_ + states() + index; }
  double flow(std::span<const double> x, int branch) const;
  const std::vector<std::unique_ptr<Element>>& elements() const { return elements_; }

  // First guess: the branches' own, and every state at `temperature` (K).
  std::vector<double> start(double temperature) const;

  void evaluate(std::span<const double> x, Slopes slopes, Evaluation& out) const;
  void notes(std::span<const double> x, Notes& notes) const;

 private:
  using Signed = std::pair<int, double>;
  struct Node {
    int stream = 0;
    bool given = false;
    Input temperature{Input::Kind::aux, 0};
    std::vector<int> ending, starting;  // branches
  };

  // Where the slope of one output by one input goes: matrix, row, column, with a sign.
  struct Entry {
    enum class Matrix { balance, outlet, answer };
    std::size_t output = 0;
    int input = 0;
    Matrix matrix = Matrix::balance;
    int row = 0, column = 0;
    double sign = 1.0;
  };

  struct Plan {
    std::vector<std::vector<Entry>> rows;  // by output
    std::vector<Entry> entries;            // by input, flows, states and auxiliaries only
  };

  int column(const Input& input) const;
  void gather(const Element& e, std::span<const double> x, Evaluation& out) const;
  double mixed(int node, std::span<const double> x, Evaluation& out, double* slope) const;
  void add_value(const Output& output, double value, Evaluation& out) const;
  void add_inlet_slope(const std::vector<Entry>& rows, double d, const double* inlet_slope,
                       Evaluation& out) const;
  void plan(const Element& e);
  std::vector<Entry> rows_of(const Output& output) const;
  double* row_start(const Entry& entry, Evaluation& out) const;
  void add_column(const std::vector<Entry>& rows, int column, double d, Evaluation& out) const;
  void evaluate_element(std::size_t index, Slopes slopes, Evaluation& out) const;
  void add_inflow(std::span<const double> x, Evaluation& out) const;
  void close_stream(int stream);

  int answers_;
  int loops_ = 0;
  int quantities_ = 0;
  std::vector<double> values_;
  std::vector<std::string> states_;
  std::vector<std::pair<std::string, double>> aux_;
  std::vector<Stream> streams_;
  std::vector<Node> nodes_;
  std::vector<Branch> branches_;
  std::vector<int> chords_;                    // loop -> the branch that closes it
  std::vector<std::vector<Signed>> loops_of_;  // branch -> loops through it, with signs
  std::vector<std::unique_ptr<Element>> elements_;
  std::vector<Plan> plans_;  // by element
};

}  // namespace libloop::network
