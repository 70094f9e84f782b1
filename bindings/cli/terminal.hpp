// What goes to standard output (data) and to standard error (talk).
#pragma once

#include <string>
#include <string_view>

#include "libloop/base/error.hpp"

namespace libloop::cli {

// Writes all of it. A reader that has left early is no fault; anything else throws.
void print(const std::string& data);
// The same for text that people read: the word CAUTION is coloured on a terminal.
void print_text(const std::string& text);

// "note: ..." on standard error.
void note(std::string_view text);
// "error: ..." with place, mark and suggestion of every problem.
void complain(const std::vector<Problem>& problems);
void complain(std::string_view text);

// Whether somebody watches standard error.
bool watched();

}  // namespace libloop::cli
