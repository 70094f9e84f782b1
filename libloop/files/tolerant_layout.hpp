// Where the heading, the units and the rows of a file stand, and what divides its cells.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/files/tolerant.hpp"
#include "libloop/files/tolerant_cells.hpp"

namespace libloop::files {

// Whether a heading's name, without its unit, is one that the reader looks for.
using KnownHeading = std::function<bool(std::string_view name)>;

struct TextLine {
  std::string text;
  int number = 0;
};

struct Layout {
  char separator = ',';
  TolerantRow heading, units;  // without cells where there are none
  std::size_t first = 0;       // of the lines: where rows of data may begin
  std::vector<std::string> decisions;
};

// From the first lines of a file.
Layout find_layout(const std::vector<TextLine>& lines, const ReadingChoice& choice,
                   const KnownHeading& is_known);

// Whether a row only repeats another, as when a logger starts anew.
bool repeats(const std::vector<CellView>& cells, const TolerantRow& row);

// Where the decimal mark of numbers is told, by cells that leave no doubt.
class DecimalFinder {
 public:
  explicit DecimalFinder(std::string file) : file_(std::move(file)) {}
  void see(const TolerantRow& row, std::size_t cell, char separator);
  // '.' or ','; 0 when nothing tells. Throws InputError (conflict) when two cells tell otherwise,
  // or when one may be read in two ways and no other tells.
  char found() const;

 private:
  std::string file_;
  std::optional<Place> point_, comma_, either_;
  std::string point_cell_, comma_cell_, either_cell_;
};

// The same question asked of one cell, later on.
[[noreturn]] void ask_for_decimal(Place place, std::string_view cell);

}  // namespace libloop::files
