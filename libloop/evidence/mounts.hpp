// What one mounting of a cooler differs from the next, from conditions that they share.
//
//   ln(rise of point) = what the condition gives + shift of its mounting
//
// by least squares; the shifts of mountings that share conditions sum to zero. A table of all
// mountings at all conditions gives plain means of logarithms; a remount at one condition only
// moves the whole table by its share.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace libloop::evidence {

struct MountPoint {
  std::size_t condition = 0, mount = 0;
  double log_value = 0.0;
};

struct MountFit {
  std::vector<double> shift;  // by mount
  std::size_t sets = 1;       // of mountings that share conditions, directly or over others
  std::size_t fewest = 1;     // mountings in the smallest set
  double freedom() const { return static_cast<double>(shift.size() - sets); }
  double squares() const;  // sum of the shifts' squares
};

// Every mount below `mounts` should have a point; one without stands for itself.
MountFit fit_mounts(std::span<const MountPoint> points, std::size_t mounts);

}  // namespace libloop::evidence
