// A chart in the language of gnuplot 5.4. What a user wrote gets there through `quoted` alone.
#pragma once

#include <string>
#include <string_view>

#include "libloop/report/chart.hpp"

namespace libloop::report {

enum class Format { svg, png };

// In quotes, every byte but letters, blanks and what is beyond ASCII as its octal number: no sign
// that gnuplot knows is left for it to read. Digits too: it takes those behind an octal number as
// part of it. (Single quotes are no way: a text that begins with one ends there.)
std::string quoted(std::string_view text);

std::string gnuplot_script(const Chart& chart, Format format);

}  // namespace libloop::report
