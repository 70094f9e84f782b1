// The slow tail of a warm-up: its modes, and who owns them.
//
// Near its settled point a warm-up is a sum of exponentials. Each has a time constant, a share
// in the reading, and owners: by how many per cent the time constant moves when one capacity
// or one conductance grows by one per cent. Shares of capacities sum to +1, those of
// conductances (flow capacities among them, leakage as a negative one) to -1.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace libloop {

struct Owner {
  std::string name;
  double share = 0.0;
};

struct SlowMode {
  double time_constant = 0.0;  // s
  double period = 0.0;         // s, of coolant going round; 0: the mode does not swing
  // K, what the mode keeps the first chip's reading below its settled value when the last row
  // begins; of a swinging mode the size of its swing. And the same of the coolant rise.
  double amplitude = 0.0, coolant_amplitude = 0.0;
  std::vector<Owner> stores, carries;  // capacities and conductances, largest first
};

struct SlowModes {
  std::vector<SlowMode> modes;  // slowest first
  // How far the sum of all exponentials is from the full warm-up: the reading, at most, and
  // when.
  double worst_error = 0.0;       // K
  double worst_error_time = 0.0;  // s after the last change
  // K, at most, one minute after the last change and later; nothing when none was followed.
  std::optional<double> error_after_minute;
};

}  // namespace libloop
