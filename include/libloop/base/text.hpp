// Small helpers for text: near misses, numbers for people, UTF-8.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace libloop::text {

// The word of `known` nearest to `seen` (Damerau-Levenshtein distance, at most a third of
// its length and at least 1), or nothing. Case does not count.
std::optional<std::string> nearest(std::string_view seen, const std::vector<std::string>& known);

// "Did you mean 'x'?", or an empty text.
std::string did_you_mean(std::string_view seen, const std::vector<std::string>& known);

// Number of columns that UTF-8 text takes (code points; no wide characters here).
std::size_t width(std::string_view utf8);

// At most `bytes` of the start of `utf8`, never cut within a character.
std::string_view cut(std::string_view utf8, std::size_t bytes);

// The first byte that is not valid UTF-8, or a control character other than tab, line
// feed and carriage return; nothing when all is well.
std::optional<std::size_t> first_bad_byte(std::string_view bytes);

// `digits` significant digits, no exponent between 1e-4 and 1e6, no trailing zeros.
std::string number(double value, int digits = 4);

// `text` cut into pieces at `separator`; empty pieces are kept.
std::vector<std::string> split(std::string_view text, char separator);

std::string_view trim(std::string_view text);

// The whole of `text` as a number (decimal point, optional exponent; no inf, no nan).
std::optional<double> parse_number(std::string_view text);

// Words joined as "a, b and c".
std::string list(const std::vector<std::string>& words, std::string_view last = "and");

}  // namespace libloop::text
