// One row of a part in words, as checks and the reference print it.
#pragma once

#include <string>

#include "libloop/quantity/table.hpp"

namespace libloop::report {

inline constexpr int all_digits = 6;  // that declarations have

// "17"; empty for rows without a number of their own.
std::string low_of(const Row& row, const Range& range);
std::string typical_of(const Row& row, const Range& range);
std::string high_of(const Row& row, const Range& range);

// "15 to 19 fpi", "exact"
std::string range_of(const Row& row, const Range& range, int digits = all_digits);
// "1 to 8" of a count, "louvered or plain" of a choice, "flow [m3/h], static pressure [Pa]"
// of a curve, "from thickness less frame_allowance" of an override.
std::string possible(const Row& row);

// What a row is when nothing is given: "17 fpi", "2", "louvered".
std::string usual(const Row& row);
// "4 to 40 fpi"
std::string bounds_words(const Row& row);

std::string_view type_word(Row::Type type);

}  // namespace libloop::report
