// A log given where a table of measured points belongs.
#pragma once

#include "libloop/files/tolerant_rows.hpp"

namespace libloop::files {

// Throws InputError (kind) for a table without coolers whose rows follow one another in time.
// Each would count as a steady point.
void check_is_no_log(const TolerantTable& table);

}  // namespace libloop::files
