// What the coolant carries, against the power the bench reads.
#pragma once

#include "libloop/evidence/reduction.hpp"

namespace libloop {

// A mean of the window with its own standard uncertainty (scatter, rounding), SI.
struct MeanReading {
  double value = 0.0, u = 0.0;
};

struct BalanceReadings {
  MeanReading load;       // W
  MeanReading flow;       // m3/s
  MeanReading hot, cold;  // K absolute
};

// Density and specific heat of the coolant at the mean of hot and cold.
HeatBalance heat_balance(const BalanceReadings& readings, const Instruments<double>& instruments,
                         const fluid::Liquid<double>& coolant);

}  // namespace libloop
