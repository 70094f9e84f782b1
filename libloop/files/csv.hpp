// Comma-separated values (RFC 4180) as rows of cells with their places.
//
// The one place that knows the CSV library.
#pragma once

#include <string>
#include <vector>

#include "libloop/files/source.hpp"

namespace libloop::files {

struct CsvCell {
  std::string text;  // without its quotes; blanks around a cell that has none are left out
  Span span;         // as written, quotes included; of an empty cell where it would stand
};

using CsvRow = std::vector<CsvCell>;

inline constexpr std::size_t most_csv_mebibytes = 10;
inline constexpr std::size_t most_csv_rows = 100000;
inline constexpr std::size_t most_csv_cells = 1000000;

// All rows; empty lines and lines that begin with '#' are left out. Rows need not be of one
// length. Throws InputError: syntax for a quote out of place or a line that ends in a bare
// carriage return, bounds for too many rows or cells.
std::vector<CsvRow> read_csv(const Source& source);

}  // namespace libloop::files
