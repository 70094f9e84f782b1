#include <fmt/format.h>

#include <utility>

#include "libloop/files/tolerant_layout.hpp"
#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_stamp.hpp"

namespace libloop::files {

void DecimalFinder::see(const TolerantRow& row, std::size_t cell, char separator) {
  if (cell >= row.cells.size()) return;
  const TolerantCell& seen = row.cells[cell];
  char shown = decimal_shown(seen.text);
  // "12.03" may be a number still; a date or clock time has its marks for itself.
  if (shown == '\0' || parse_stamp(seen.text)) return;
  // Where commas divide cells, a cell without quotes holds none: its mark is a point.
  if (shown == '?' && separator == ',' && !seen.quoted) shown = '.';
  std::optional<Place>& place = shown == '.' ? point_ : shown == ',' ? comma_ : either_;
  if (place) return;
  place = place_in(file_, row.written, row.line, seen.column, seen.text);
  (shown == '.' ? point_cell_ : shown == ',' ? comma_cell_ : either_cell_) = seen.text;
}

char DecimalFinder::found() const {
  if (point_ && comma_) {
    const bool comma_later = comma_->line > point_->line ||
                             (comma_->line == point_->line && comma_->column > point_->column);
    throw InputError(Problem{
        Code::conflict,
        fmt::format("'{}' has a decimal {}, '{}' in line {} a decimal {}",
                    shown_cell(comma_later ? comma_cell_ : point_cell_),
                    comma_later ? "comma" : "point",
                    shown_cell(comma_later ? point_cell_ : comma_cell_),
                    comma_later ? point_->line : comma_->line, comma_later ? "point" : "comma"),
        "Say which mark the file's numbers have: --decimal comma or --decimal point; cells "
        "that do not fit are then left out and counted.",
        comma_later ? *comma_ : *point_});
  }
  if (point_) return '.';
  if (comma_) return ',';
  if (either_) ask_for_decimal(*either_, either_cell_);
  return '\0';
}

void ask_for_decimal(Place place, std::string_view cell) {
  std::string whole, parts(cell);
  for (char& c : parts) {
    if (c != ',' && c != '.') whole += c;
    if (c == ',') c = '.';
  }
  throw InputError(Problem{
      Code::conflict,
      fmt::format("'{}' may be {} or {}", shown_cell(cell), shown_cell(parts), shown_cell(whole)),
      "Say which mark divides decimals: --decimal comma or --decimal point.", std::move(place)});
}

}  // namespace libloop::files
