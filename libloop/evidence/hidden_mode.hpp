// A slow mode that the readings cannot show yet: board, room.
#pragma once

#include "libloop/evidence/weighing.hpp"

namespace libloop {

// K by which such a mode may move the settled value on, in the direction of the swing, with 95 %
// confidence; what the readings so far exclude of it is taken off. Negative when it falls.
double hidden_mode(const Blocks& blocks, const Courses& courses, const Weighed& weighed,
                   double settled);

}  // namespace libloop
