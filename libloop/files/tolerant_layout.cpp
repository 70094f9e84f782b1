#include "libloop/files/tolerant_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_stamp.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t most_rows_looked_at = 200;

const char* separator_words(char separator) {
  return separator == ';' ? "semicolons" : separator == '\t' ? "tabs" : "commas";
}

// "sep=;" in the first line, as spreadsheets write and read it.
std::optional<char> told_separator(const std::vector<TextLine>& lines) {
  if (lines.empty()) return std::nullopt;
  std::string seen = folded(trimmed(lines.front().text));
  seen.erase(std::remove(seen.begin(), seen.end(), '"'), seen.end());
  if (lines.front().text.substr(0, 5) == "sep=\t") return '\t';
  if (seen.size() == 5 && seen.substr(0, 4) == "sep=" && (seen[4] == ';' || seen[4] == ',')) {
    return seen[4];
  }
  return std::nullopt;
}

// The first of tab, semicolon, comma that divides most lines. Commas come last: they stand
// within numbers, too.
char found_separator(const std::vector<TextLine>& lines) {
  for (const char separator : {'\t', ';'}) {
    CellCutter cutter(separator);
    std::size_t with = 0, all = 0;
    for (const TextLine& line : lines) {
      if (all == most_rows_looked_at) break;
      if (is_blank(line.text)) continue;
      ++all;
      if (cutter.cut(line.text).size() > 1) ++with;
    }
    if (with > 0 && with * 2 >= all) return separator;
  }
  return ',';
}

bool is_figure(std::string_view cell) {
  if (cell.empty()) return false;
  const TolerantNumber number = tolerant_number(cell, '\0');
  if (number.kind == TolerantNumber::Kind::either) return true;
  // "12V rail" is a heading.
  if (number.is_number()) return number.unit.empty() || !known_unit(number.unit).empty();
  return parse_stamp(cell).has_value();
}

struct Looked {
  TolerantRow row;
  std::size_t line = 0;  // index of its line
  std::size_t words = 0, figures = 0, known = 0, units = 0;
};

Looked look(const TextLine& line, std::size_t index, char separator, const KnownHeading& is_known) {
  Looked out{row_of(line.text, line.number, separator), index};
  for (const TolerantCell& cell : out.row.cells) {
    if (says_nothing(cell.text)) continue;
    if (is_figure(cell.text)) {
      ++out.figures;
      continue;
    }
    ++out.words;
    if (!known_unit(cell.text).empty()) ++out.units;
    if (is_known(heading_unit(cell.text).name)) ++out.known;
  }
  return out;
}

// The usual number of cells of rows that hold figures.
std::size_t usual_size(const std::vector<Looked>& rows) {
  std::map<std::size_t, std::size_t> seen;
  for (const Looked& row : rows) {
    if (row.figures > 0) ++seen[row.row.cells.size()];
  }
  std::size_t usual = 1, most = 0;
  for (const auto& [size, times] : seen) {
    if (times >= most) {
      most = times;
      usual = size;
    }
  }
  return usual;
}

// The row above the data with the most headings that are known; of equals one as wide as the
// data, then the first. Without any known: the last row of words before the first figures.
std::optional<std::size_t> find_heading(const std::vector<Looked>& rows) {
  const std::size_t usual = usual_size(rows);
  std::optional<std::size_t> best, before;
  bool figures = false;
  const auto worth = [&](const Looked& row) {
    return 2 * row.known + (row.row.cells.size() == usual ? 1 : 0);
  };
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const Looked& row = rows[i];
    if (row.figures > 0 && row.row.cells.size() == usual) figures = true;
    // Once data stand below a heading, another one further down is not the first.
    if (best && row.figures > 0 && row.row.cells.size() >= rows[*best].row.cells.size()) break;
    const bool alone = row.row.cells.size() < 2 && usual > 1;
    if (row.words == 0 || row.figures > 0 || alone) continue;
    if (!figures && row.words > row.units) before = i;
    if (row.known > 0 && (!best || worth(row) > worth(rows[*best]))) best = i;
  }
  return best ? best : before;
}

bool is_units_row(const Looked& row) {
  return row.figures == 0 && row.units > 0 && row.known <= row.units && 2 * row.units >= row.words;
}

// A heading may be marked as a comment.
void strip_comment_mark(TolerantRow& heading) {
  if (heading.cells.empty()) return;
  std::string& first = heading.cells.front().text;
  const std::size_t marks = std::min(first.find_first_not_of('#'), first.size());
  if (marks > 0 && marks < first.size()) first = trimmed(std::string_view(first).substr(marks));
}

// Cells behind the last that is filled come of a separator at the end of lines.
void strip_empty_end(TolerantRow& row) {
  while (!row.cells.empty() && row.cells.back().text.empty()) row.cells.pop_back();
}

std::vector<Looked> look_at(const std::vector<TextLine>& lines, std::size_t from, char separator,
                            const KnownHeading& is_known) {
  std::vector<Looked> rows;
  for (std::size_t i = from; i < lines.size() && rows.size() < most_rows_looked_at; ++i) {
    if (!is_blank(lines[i].text)) rows.push_back(look(lines[i], i, separator, is_known));
  }
  return rows;
}

void settle_separator(const std::vector<TextLine>& lines, const ReadingChoice& choice,
                      Layout& layout) {
  const std::optional<char> told = told_separator(lines);
  if (told) layout.first = 1;
  if (choice.separator) {
    layout.separator = *choice.separator;
    return;
  }
  layout.separator = told ? *told : found_separator(lines);
  if (layout.separator != ',' || told) {
    layout.decisions.push_back(
        fmt::format("Cells are divided by {}.", separator_words(layout.separator)));
  }
}

}  // namespace

Layout find_layout(const std::vector<TextLine>& lines, const ReadingChoice& choice,
                   const KnownHeading& is_known) {
  Layout layout;
  settle_separator(lines, choice, layout);
  std::vector<Looked> rows = look_at(lines, layout.first, layout.separator, is_known);
  const std::optional<std::size_t> heading = find_heading(rows);
  if (!heading) return layout;
  layout.heading = std::move(rows[*heading].row);
  strip_comment_mark(layout.heading);
  strip_empty_end(layout.heading);
  layout.first = rows[*heading].line + 1;
  if (*heading > 0) {
    layout.decisions.push_back(
        fmt::format("The heading is line {}; {} before it {} not read.", layout.heading.line,
                    *heading == 1 ? "one line" : fmt::format("{} lines", *heading),
                    *heading == 1 ? "is" : "are"));
  }
  if (*heading + 1 < rows.size() && is_units_row(rows[*heading + 1])) {
    layout.units = std::move(rows[*heading + 1].row);
    layout.first = rows[*heading + 1].line + 1;
    layout.decisions.push_back(fmt::format("Units stand in line {}.", layout.units.line));
  }
  return layout;
}

bool repeats(const std::vector<CellView>& cells, const TolerantRow& row) {
  if (row.cells.empty()) return false;
  for (std::size_t i = 0; i < std::max(cells.size(), row.cells.size()); ++i) {
    std::string_view text = i < cells.size() ? cells[i].text : std::string_view();
    if (i == 0 && text != row.text(0)) {
      text.remove_prefix(std::min(text.find_first_not_of('#'), text.size()));
      text = trimmed(text);
    }
    if (text != row.text(i)) return false;
  }
  return true;
}

}  // namespace libloop::files
