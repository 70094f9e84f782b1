// From the bytes of a logger's or spreadsheet's file to rows of cells: one place for what logs,
// measured tables and sound levels share.
//
//   const TolerantTable table = tolerant_table(bytes, file, choice, is_known);
//   for (const TolerantRow& row : table.rows) {
//     const TolerantNumber rise = tolerant_number(row.text(2), table.dialect.decimal);
//
// Logs are streamed instead (log_reader.hpp), from the same pieces: tolerant_encoding,
// tolerant_lines, tolerant_layout, tolerant_decimal.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/files/tolerant.hpp"
#include "libloop/files/tolerant_cells.hpp"
#include "libloop/files/tolerant_layout.hpp"
#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_stamp.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {

struct Dialect {
  Encoding encoding = Encoding::utf8;
  char separator = ',';
  char decimal = '\0';  // '.' or ','; 0 while no number tells
};

struct TolerantTable {
  std::string file;
  Dialect dialect;
  TolerantRow heading;                 // without cells when the file has none
  TolerantRow units;                   // the row of units below it; mostly without cells
  std::vector<TolerantRow> rows;       // of data; blank lines, comments, repeated headings left out
  std::vector<std::string> decisions;  // one sentence each

  // The place of a cell, for problems; of a cell that a short row lacks, the row's end.
  Place at(const TolerantRow& row, std::size_t cell) const;
};

inline constexpr std::size_t most_table_mebibytes = 10;

// The whole of a small table. `is_known` is asked of the name of each heading, without its unit,
// to tell the heading from lines before it. Throws InputError: bounds for a file too large,
// missing for one without rows, conflict where the decimal mark of a number cannot be told.
TolerantTable tolerant_table(std::string_view bytes, const std::string& file,
                             const ReadingChoice& choice, const KnownHeading& is_known);

}  // namespace libloop::files
