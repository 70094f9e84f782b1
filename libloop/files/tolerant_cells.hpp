// One line of text as cells.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"

namespace libloop::files {

struct TolerantCell {
  std::string text;  // without its quotes, and without blanks around it
  int line = 0, column = 1;
  bool quoted = false;
};

struct TolerantRow {
  std::string written;  // the line itself
  int line = 0;
  std::vector<TolerantCell> cells;

  // Empty for a cell that a short row lacks.
  std::string_view text(std::size_t cell) const {
    return cell < cells.size() ? std::string_view(cells[cell].text) : std::string_view();
  }
};

// A cell of a line that is still there.
struct CellView {
  std::string_view text;
  int column = 1;  // byte of the line, from 1
  bool quoted = false;
};

// Cuts lines into cells. libcsv is not used here: it tells no places, and a quote left open would
// take the rest of a long file with it. Here such a quote is text.
class CellCutter {
 public:
  explicit CellCutter(char separator) : separator_(separator) {}

  // Views into `line` and into this; they hold until the next call.
  const std::vector<CellView>& cut(std::string_view line);

 private:
  std::size_t quoted(std::string_view line, std::size_t start);
  std::size_t plain(std::string_view line, std::size_t start);

  char separator_;
  std::string unquoted_;  // cells with quotes within
  std::vector<CellView> cells_;
};

TolerantRow row_of(std::string_view line, int number, char separator);

// Without blanks around it, those of other widths included.
std::string_view trimmed(std::string_view text);

// Whether a line holds nothing but blanks and separators.
bool is_blank(std::string_view line);

// Whether a line is a comment: it begins with '#', but not with "#N/A".
bool is_comment(std::string_view line);

// Text that a message can hold on one line.
std::string shown_cell(std::string_view cell);
std::string quoted_cell(std::string_view cell);  // the same in quotes

// The place of some bytes of a line.
Place place_in(const std::string& file, std::string_view line, int number, int column,
               std::string_view marked);

}  // namespace libloop::files
