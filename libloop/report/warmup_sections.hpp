// The sections that the text of a warm-up is made of. Empty where there is nothing to tell.
#pragma once

#include <string>

#include "libloop/warmup/prediction.hpp"

namespace libloop::report {

// How long to wait, for every point, band, and for reading and coolant.
std::string waits(const Model& model, const WarmupPrediction& prediction);
// What is still missing as time goes by, of the slowest point.
std::string creep(const Model& model, const WarmupPrediction& prediction);
// When each habit ends the wait, and what it leaves.
std::string habits(const Model& model, const WarmupPrediction& prediction);
// The slow modes with their owners, of the slowest point; of the others their time constants.
std::string slow_modes(const Model& model, const WarmupPrediction& prediction);

}  // namespace libloop::report
