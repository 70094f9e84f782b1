// From the circuit's own answers to those of answer.hpp and of an operating point.
#pragma once

#include <utility>
#include <vector>

#include "libloop/model/build.hpp"

namespace libloop {

double value_of(Answer answer, const Built& built, const std::vector<double>& raw);

// Slopes of an answer by the circuit's own: index and slope.
using RawSlopes = std::vector<std::pair<int, double>>;
RawSlopes slopes_of(Answer answer, const Built& built, const std::vector<double>& raw);

// Everything the answers tell, chips and radiators only when there are several or `all`.
void fill(OperatingPoint& point, const Built& built, const std::vector<double>& raw, double ambient,
          double load, bool all);

// Flow, pressure and temperatures of every part at unknowns x with evaluation `work`.
std::vector<PartPoint> parts_of(const Model::Setup& setup, const Built& built,
                                const std::vector<double>& values, const std::vector<double>& x,
                                const network::Evaluation& work);

}  // namespace libloop
