// Room that writing takes, in pixels, before anybody draws it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/report/chart.hpp"

namespace libloop::report {

// The text as it can be drawn: valid UTF-8 (what is not becomes U+FFFD), a blank for each line
// feed and tab, without other control characters.
std::string plain(std::string_view text);

// Its width in DejaVu Sans, from the font's own table of advances (version 2.37) for ASCII, and
// the widest letter usual in Latin, Greek and Cyrillic for others. Other fonts that a viewer of
// an SVG may use are narrower.
double text_px(std::string_view words, double size, bool bold = false);

// The text, or as much of its start as has room, with an ellipsis.
std::string fitted(std::string_view words, double room, double size, bool bold = false);
// The largest size from `size` down to the smallest one at which it has room.
double fitting_size(std::string_view words, double room, double size, bool bold = false);

struct Box {
  double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;
};
Box box_of(const Text& text);
bool overlap(const Box& a, const Box& b);
bool holds(const Box& box, const XY& point);
bool on_page(const Box& box);

// Cuts words at blanks into lines that have room; the last one ends in an ellipsis when there
// are more than `most`.
std::vector<std::string> wrapped(std::string_view words, double room, double size,
                                 std::size_t most);

}  // namespace libloop::report
