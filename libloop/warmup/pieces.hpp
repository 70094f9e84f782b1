// A trajectory in pieces: one cubic a step for every unknown and everything that is told.
#pragma once

#include <vector>

#include "libloop/math/rosenbrock.hpp"
#include "libloop/warmup/trajectory.hpp"

namespace libloop {

// x = before (1-s) + s (after + (1-s)(p + s q)), s from 0 at `begin` to 1 at `end`.
struct Piece {
  double begin = 0.0, end = 0.0;
  math::Vector before, after, p, q;

  double at(Eigen::Index i, double t) const;
  double rate(Eigen::Index i, double t) const;
  // The last time in the piece at which unknown i is further than `band` from `value`; less
  // than `begin` where there is none.
  double last_outside(Eigen::Index i, double value, double band) const;
};

struct Trajectory::Data {
  network::Summary summary;
  OperatingPoint settled;
  std::vector<Note> notes;
  std::vector<Piece> pieces;
  int unknowns = 0;  // of the circuit; what is told follows
  std::vector<double> settled_chips;
  double settled_load = 0.0;
  double last_change = 0.0;
  int rejected = 0, evaluations = 0;
  std::vector<double> steps;

  // Seconds after the last change from which on it stays within the band; see Trajectory.
  std::optional<double> settles(Eigen::Index i, double value, double band) const;
  const Piece& piece(double t) const;
  // Before the start and after the end, what stands there.
  double at(Eigen::Index i, double t) const;
  Eigen::Index row(Trace trace) const;
  Eigen::Index chip_row(std::size_t chip) const;
  Eigen::Index behind_chips() const;
  Eigen::Index energy_row(int which) const;  // in, out, stored
};

}  // namespace libloop
