// The table of reduced points, for a page.
#pragma once

#include <string>
#include <vector>

#include "libloop/report/reduction_words.hpp"

namespace libloop::report {

// What a page has no room for is left to JSON and CSV: pumps and flow first.
std::string point_table(const std::vector<PointAt>& points);

}  // namespace libloop::report
