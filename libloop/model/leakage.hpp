// Leakage: how a chip's power grows with its own temperature, and when it runs away.
#pragma once

#include <vector>

#include "libloop/model/build.hpp"

namespace libloop {

class Leakage {
 public:
  Leakage(const Model::Setup& setup, const Built& built);

  // Load of each chip as stated, W, and of all.
  double load(std::size_t chip, const std::vector<double>& values) const;
  double load(const std::vector<double>& values) const;

  // Growth of each state's own heat by its temperature, W/K.
  std::vector<double> growth(const std::vector<double>& values) const;

  // How strongly leakage feeds on itself: the largest eigenvalue of (slope of power by
  // temperature) x (rise of each die by power in each die). At 1 a chip runs away.
  double gain(const std::vector<double>& x, const std::vector<double>& values) const;

  // The least 1 + slope (T - reference) of any die.
  double coldest_power(const std::vector<double>& x, const std::vector<double>& values) const;

  // By state: the leakage slope of its chip, 1/K; 0 of what is no die.
  std::vector<double> slopes(const std::vector<double>& values) const;

  // Multiplies the leakage slopes of all chips.
  void scale(double factor, std::vector<double>& values) const;

  bool at_reference() const { return at_reference_; }

 private:
  struct Chip {
    int load = -1;  // its own; -1: that of the duty
    int slope = 0, reference = 0;
    std::vector<int> shares, dies;  // places of power shares, states
  };

  const network::Circuit& circuit_;
  std::vector<Chip> chips_;
  int duty_load_ = 0, power_factor_ = 0;
  bool at_reference_ = false;
};

}  // namespace libloop
