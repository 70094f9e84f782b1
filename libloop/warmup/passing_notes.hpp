// Limits that are passed on the way, before a warm-up settles.
#pragma once

#include <vector>

#include "libloop/model/build.hpp"
#include "libloop/warmup/pieces.hpp"
#include "libloop/warmup/schedule.hpp"

namespace libloop {

// Of the moments before a step, and those at which a chip and the coolant are hottest; without
// notes that the settled point tells already; each says when. Prepares the circuit.
std::vector<Note> passing_notes(const Model::Setup& setup, Built& built, const Schedule& schedule,
                                const Trajectory::Data& data);

}  // namespace libloop
