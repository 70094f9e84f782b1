// Runs gnuplot without a shell.
#pragma once

#include <chrono>
#include <string>
#include <string_view>

namespace libloop::report {

inline constexpr std::chrono::seconds gnuplot_limit{60};

// What gnuplot writes for this script. The script goes in and the picture comes out through
// files without a name, which nothing can leave behind. Throws InputError (code file) when
// gnuplot is not installed, does not end within the limit, or complains.
std::string run_gnuplot(std::string_view script, std::chrono::milliseconds limit = gnuplot_limit);

}  // namespace libloop::report
