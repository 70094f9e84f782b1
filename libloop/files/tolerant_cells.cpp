#include "libloop/files/tolerant_cells.hpp"

#include <algorithm>
#include <array>

#include "libloop/base/text.hpp"
#include "libloop/files/tolerant_number.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t longest_line_shown = 400;
constexpr std::size_t longest_cell_shown = 40;

// No-break space, narrow no-break space, thin space, byte order mark.
constexpr std::array<std::string_view, 4> wide_blanks{"\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89",
                                                      "\xEF\xBB\xBF"};

bool is_narrow_blank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

bool is_ascii(char c) { return static_cast<unsigned char>(c) < 0x80; }

std::size_t blank_before(std::string_view text) {
  if (text.empty()) return 0;
  if (is_narrow_blank(text.front())) return 1;
  if (is_ascii(text.front())) return 0;
  for (const std::string_view blank : wide_blanks) {
    if (text.substr(0, blank.size()) == blank) return blank.size();
  }
  return 0;
}

std::size_t blank_behind(std::string_view text) {
  if (text.empty()) return 0;
  if (is_narrow_blank(text.back())) return 1;
  if (is_ascii(text.back())) return 0;
  for (const std::string_view blank : wide_blanks) {
    if (text.size() >= blank.size() && text.substr(text.size() - blank.size()) == blank) {
      return blank.size();
    }
  }
  return 0;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  while (const std::size_t n = blank_before(text)) text.remove_prefix(n);
  while (const std::size_t n = blank_behind(text)) text.remove_suffix(n);
  return text;
}

bool is_blank(std::string_view line) {
  while (!line.empty()) {
    const std::size_t n = blank_before(line);
    const bool mark = line.front() == ',' || line.front() == ';';
    if (n == 0 && !mark) return false;
    line.remove_prefix(std::max<std::size_t>(n, 1));
  }
  return true;
}

bool is_comment(std::string_view line) {
  const std::string_view text = trimmed(line);
  if (text.substr(0, 1) != "#") return false;
  return !says_nothing(text.substr(0, std::min(text.find_first_of(",;\t"), text.size())));
}

// A quoted cell from its opening quote at `start`; where it ends, npos when it does not.
std::size_t CellCutter::quoted(std::string_view line, std::size_t start) {
  const std::size_t from = unquoted_.size();
  std::size_t at = start + 1;
  for (;; ++at) {
    if (at >= line.size()) {
      unquoted_.resize(from);
      return std::string_view::npos;
    }
    if (line[at] == '"' && (at + 1 >= line.size() || line[at + 1] != '"')) break;
    if (line[at] == '"') ++at;
    unquoted_ += line[at];
  }
  // What follows the closing quote is kept as it stands.
  const std::size_t end = std::min(line.find(separator_, at + 1), line.size());
  unquoted_ += trimmed(line.substr(at + 1, end - at - 1));
  const std::string_view all = std::string_view(unquoted_).substr(from);
  cells_.push_back({trimmed(all), static_cast<int>(start) + 1, true});
  return end;
}

std::size_t CellCutter::plain(std::string_view line, std::size_t start) {
  const std::size_t end = std::min(line.find(separator_, start), line.size());
  const std::string_view cell = trimmed(line.substr(start, end - start));
  const std::size_t at = cell.empty() ? start : static_cast<std::size_t>(cell.data() - line.data());
  cells_.push_back({cell, static_cast<int>(at) + 1, false});
  return end;
}

const std::vector<CellView>& CellCutter::cut(std::string_view line) {
  cells_.clear();
  unquoted_.clear();
  unquoted_.reserve(line.size());  // views into it must stay
  for (std::size_t start = 0;;) {
    std::size_t first = start;
    while (first < line.size() && line[first] == ' ') ++first;
    std::size_t end = std::string_view::npos;
    if (first < line.size() && line[first] == '"') end = quoted(line, first);
    if (end == std::string_view::npos) end = plain(line, start);
    if (end >= line.size()) return cells_;
    start = end + 1;
  }
}

TolerantRow row_of(std::string_view line, int number, char separator) {
  TolerantRow row{std::string(line), number, {}};
  CellCutter cutter(separator);
  for (const CellView& cell : cutter.cut(row.written)) {
    row.cells.push_back({std::string(cell.text), number, cell.column, cell.quoted});
  }
  return row;
}

std::string shown_cell(std::string_view cell) {
  std::string out(text::cut(cell, longest_cell_shown));
  std::replace_if(out.begin(), out.end(), is_narrow_blank, ' ');
  return out;
}

std::string quoted_cell(std::string_view cell) { return "'" + shown_cell(cell) + "'"; }

Place place_in(const std::string& file, std::string_view line, int number, int column,
               std::string_view marked) {
  Place place;
  place.file = file;
  place.line = number;
  place.column = column;
  place.length = std::max(1, static_cast<int>(text::width(marked)));
  const std::size_t end = std::min(line.find_first_of("\r\n"), line.size());
  if (end <= longest_line_shown) place.text = line.substr(0, end);
  return place;
}

}  // namespace libloop::files
