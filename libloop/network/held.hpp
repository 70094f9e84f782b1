// The slopes at a point seen from the states: they are held, or moved, and everything else
// (flows, auxiliaries, nodes) follows at once.
#pragma once

#include <span>
#include <vector>

#include "libloop/network/linear.hpp"

namespace libloop::network {

// Slopes at x, with `extra` (W/K by state; may be empty) on the diagonal of the states.
std::vector<double> heat_slopes(const Circuit& circuit, std::span<const double> x, Slopes slopes,
                                std::span<const double> extra, Evaluation& work);

// The slopes with the rows of the states replaced by the states themselves: whoever solves with
// them holds the states, or moves them by what stands on the right.
std::vector<double> with_states_held(const Circuit& circuit, std::vector<double> slope);

class Held {
 public:
  Held(const Circuit& circuit, std::vector<double> slope);

  // False when the rest does not follow: its equations are singular to working precision.
  bool follows() const { return follows_; }
  // Every column of places (flows by branch) when the states move by `states`.
  std::vector<double> follow(std::span<const double> states) const;
  // What such columns change of the heat into every state, W.
  std::vector<double> heat(std::span<const double> columns) const;
  // What they change of every answer; of slopes with answers.
  std::vector<double> answers(std::span<const double> columns) const;
  // Weights of every row of places that weigh, for any columns u, all that u changes as
  // `states` weigh the heat when only the states of u move and the rest follows.
  std::vector<double> weigh(std::span<const double> states) const;

 private:
  bool is_state(int row) const { return state_of(circuit_, row) >= 0; }

  const Circuit& circuit_;
  std::vector<double> slope_;
  int first_ = 0;
  Linear linear_;
  bool follows_ = false;
};

}  // namespace libloop::network
