// What a warm-up tells beside its unknowns: readings of chips, then the traces, then energies.
// Their order is that of Trajectory::Data.
#pragma once

#include <vector>

#include "libloop/model/build.hpp"
#include "libloop/network/motion.hpp"

namespace libloop {

// `values`: all quantities; sensors' lags are taken from them.
std::vector<network::Rider> riders_of(const Model::Setup& setup, const Built& built,
                                      const std::vector<double>& values);

}  // namespace libloop
