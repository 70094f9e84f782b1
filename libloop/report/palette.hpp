// Colours, shapes and dashes that tell coolers apart, also for the colour-blind and in grey.
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "libloop/report/chart.hpp"

namespace libloop::report {

// Six of the eight colours of Okabe and Ito (2008, "Color universal design", from memory): black
// is that of writing, and yellow is too faint on white.
inline constexpr int colour_count = 6;
// Dots: circle, square, triangles up and down, diamond, pentagon.
inline constexpr int shape_count = 6;
inline constexpr int dash_count = 4;

// For each title its colour, shape and dash: by a hash of the title, and where that is taken the
// next free one, in the order of the alphabet. As long as there are no more titles than colours
// each has a colour of its own, and no two have colour and shape alike up to 36.
std::map<std::string, Look> looks_of(std::vector<std::string> titles);

// "#rrggbb". Muted marks are paler; writing is darker than marks, to be read on white.
std::string mark_colour(const Look& look);
std::string text_colour(const Look& look);
std::string fill_colour(const Look& look);

// px
double line_width(Emphasis emphasis);

}  // namespace libloop::report
