// When two coolers are told apart, and who stands in one group.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "libloop/evidence/ranking.hpp"

namespace libloop::evidence {

// Standard uncertainties of a value by where they come from, in its unit.
struct Doubts {
  double points = 0.0;         // each point's own
  double mount = 0.0;          // of its mountings' mean
  double reading = 0.0;        // from reading between points
  double level = 0.0;          // the microphone's place and the eye on the meter
  std::vector<double> states;  // of each state of the bench, with sign
  double bench = 0.0;          // the bench's meters: one for all measured coolers

  double own() const;
};

// A cooler in the list, best first.
struct Standing {
  double value = 0.0;
  bool at_least = false, at_most = false;
  bool predicted = false;
  int mounts = 1;
  Doubts doubts;
};

// Standard uncertainty of the difference of two. `mounts`: if each had been mounted so many times,
// each time at all its conditions; 0: as often as it was.
double difference_doubt(const Standing& a, const Standing& b, int mounts = 0);

// Whether `worse` is behind `better` by `apart` standard uncertainties or more.
bool told_apart(const Standing& better, const Standing& worse, double apart);

// From 1: who is not told apart from the best of a group joins it, else opens the next.
std::vector<int> groups(std::span<const Standing> ranked, double apart);

// The longest runs of which no two are told apart, those of one cooler alone left out.
std::vector<Alike> alike(std::span<const Standing> ranked, double apart);

// Rows that are not told apart from one, best first, itself left out.
std::vector<std::size_t> like(std::span<const Standing> ranked, std::size_t row, double apart);

std::optional<int> mounts_needed(const Standing& better, const Standing& worse, double apart);

}  // namespace libloop::evidence
