// What the tester's meters may be off by, as plain numbers; the table [instruments] of a bench
// file (part/instruments.hpp) declares them.
#pragma once

#include "libloop/model/cooler.hpp"
#include "libloop/part/instruments.hpp"

namespace libloop {

// In SI; typical ones where the bench does not say.
Instruments<double> instruments(const Bench& bench);

}  // namespace libloop
