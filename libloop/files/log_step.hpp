// To which step the readings of a column are rounded, by what is written.
#pragma once

#include <map>

namespace libloop::files {

// Two things tell: the figures behind the decimal mark, and the differences from reading to
// reading. Of differences the step is the largest that divides nearly all of them, if it is
// itself among the frequent ones; a few jumps of something that is set tell nothing.
class StepFinder {
 public:
  // `decimals` as written; a number in the unit of the file.
  void see(double value, int decimals);
  // In the unit of the file; 0: none is seen.
  double step() const;

 private:
  double by_differences(double written) const;
  bool divides(double step, double tolerance) const;

  bool any_ = false;
  double last_ = 0.0;
  int decimals_ = 0;
  long long changes_ = 0;                  // counted in `counts_`
  std::map<long long, long long> counts_;  // difference in millionths -> how often
};

}  // namespace libloop::files
