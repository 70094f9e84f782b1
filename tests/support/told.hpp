// What reports print, as tests look at it.
#pragma once

#include <doctest/doctest.h>

#include <string>
#include <string_view>

#include "libloop/base/text.hpp"
#include "libloop/report/table.hpp"

namespace libloop::testing {

inline bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

// Lines joined, so that a sentence is found wherever it was broken.
inline std::string joined(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank || (!out.empty() && out.back() != ' ')) out += blank ? ' ' : c;
  }
  return out;
}

inline void check_width(const std::string& text) {
  for (const std::string& line : text::split(text, '\n')) {
    CAPTURE(line);
    CHECK(text::width(line) <= report::page_width);
  }
}

}  // namespace libloop::testing
