// The modes of a circuit near a settled point: how fast it comes back to it, and what makes
// it slow.
//
// You need this header to tell how long a warm-up takes and who is to blame. Near a settled
// point x, with flows, auxiliaries and nodes following at once, the warm-up is
//   C dT/dt = H (T - T0)
// and its solution a sum of modes, each with H v = lambda C v: a real mode dies away with the
// time constant -1/lambda, a complex pair also swings.
//
// Who owns a mode. With w the left vector (w'H = lambda w'C), an exact first-order change of
// lambda follows from every capacity and conductance:
//   d ln tau/d ln C_i = Re(lambda p_i)/Re(lambda),  p_i = C_i w_i v_i/(w'C v);  sum over i: 1
//   d ln tau/d ln G_j = -Re(w'(dJ/d ln G_j) u)/Re(lambda)/(w'C v);              sum over j: -1
// u are all columns that follow v, and w there stands for all rows. dJ/d ln G is taken at the
// settled temperatures and flows. Capacity flows are conductances; leakage is one below zero.
// Heat is of degree one in all conductances together, hence the second sum.
// Nodes count as balances of heat, c m (T_branch - T), as the states do: so it makes no
// difference whether a temperature between two parts is an unknown of its own.
// Derivatives of eigenvalues: Lancaster, Numerische Mathematik 6:377, 1964 (from memory).
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "libloop/network/circuit.hpp"
#include "libloop/network/solve.hpp"

namespace libloop::network {

struct Share {
  std::string name;
  double share = 0.0;
};

struct Mode {
  double time_constant = 0.0;  // s, -1/Re(lambda); below zero: it grows
  double period = 0.0;         // s, of a complex pair, which is told once; 0: a real mode
  // d ln(time_constant) by ln of each, equal names merged, largest size first. Empty where
  // nobody asked, and where modes coincide so closely that no share of one has a meaning.
  std::vector<Share> capacities, conductances;
};

// All modes are found at once, with dense matrices: some 0.1 ms for 16 states, 10 ms for 120,
// 0.3 s for 320, several seconds for 800.
class Modes {
 public:
  // At a settled point x of a circuit that is prepared. `extra` (W/K by state; may be empty) is
  // added to the slopes of heat, as in linearise, under the names `extra_names` (by state; may
  // be empty): leakage of a load read hot. The owners of the `owned` slowest modes are found;
  // for that its elements' conductances are scaled in turn, and left at 1: no other thread may
  // use the circuit meanwhile.
  Modes(const Circuit& circuit, std::span<const double> x, std::span<const double> extra,
        std::span<const std::string> extra_names, int owned);

  // Not usable: not_finite, singular, or no_convergence of the eigenvalues. Then no modes.
  const Summary& summary() const;
  int count() const { return static_cast<int>(all().size()); }
  // Slowest first: what grows, then by falling time constant.
  const std::vector<Mode>& all() const;

  // Slopes of every answer by every state, all else following; answers x states.
  const std::vector<double>& answer_slopes() const;

  // Of a linear reading (its slopes by state) when the states start `deviation` (K) from the
  // settled point. Of every mode: what it adds at the start, signed; for a pair, the size of its
  // swing. And the reading's own deviation, and the states', at time t (s).
  std::vector<double> amplitudes(std::span<const double> gradient,
                                 std::span<const double> deviation) const;
  double reading(std::span<const double> gradient, std::span<const double> deviation,
                 double t) const;
  std::vector<double> states(std::span<const double> deviation, double t) const;

  // 1 / the condition of the modes' vectors (by stored heat): small where modes nearly coincide, as
  // those of many equal cells in a row do. Below 1e-8 states and readings come from the exponential
  // of the matrix instead of the sum of modes (some ms each for 100 states); amplitudes of modes
  // that coincide then have no meaning of their own.
  double distinctness() const;

 private:
  struct Found;
  std::shared_ptr<const Found> found_;
};

}  // namespace libloop::network
