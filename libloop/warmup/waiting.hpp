// What a tester does while a reading creeps: rows of the creep table, and a habit's end.
#pragma once

#include <optional>
#include <vector>

#include "libloop/warmup/prediction.hpp"

namespace libloop {

std::vector<Creep> creep_of(const Trajectory& trajectory);

// Seconds after the last change at which the habit ends the wait; nothing when the trajectory
// ends before, still moving.
std::optional<double> habit_ends(const Trajectory& trajectory, const Habit& habit);

}  // namespace libloop
