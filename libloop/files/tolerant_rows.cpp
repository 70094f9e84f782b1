#include "libloop/files/tolerant_rows.hpp"

#include <fmt/format.h>

#include <utility>

#include "libloop/files/source.hpp"
#include "libloop/files/tolerant_encoding.hpp"
#include "libloop/files/tolerant_lines.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t most_cells = 1000000;

[[noreturn]] void fail_file(Code code, const std::string& file, std::string message,
                            std::string suggestion) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion), {file, 0, 0, 1, {}}});
}

void check_size(std::string_view bytes, const std::string& file) {
  if (bytes.size() <= most_table_mebibytes * mebibyte) return;
  fail_file(Code::bounds, file, fmt::format("the file has {} bytes", bytes.size()),
            fmt::format("Tables have at most {} MiB.", most_table_mebibytes));
}

std::vector<TextLine> lines_of(std::string_view bytes, const ReadingChoice& choice,
                               TolerantTable& table) {
  const FoundEncoding found = find_encoding(bytes, choice.encoding, true);
  table.dialect.encoding = found.encoding;
  if (!found.decision.empty()) table.decisions.push_back(found.decision);
  Decoder decoder(found.encoding);
  std::string text;
  decoder.decode(bytes.substr(found.mark), text);
  decoder.finish(text);
  if (decoder.stray() > 0) {
    table.decisions.push_back(
        fmt::format("{} bytes are no UTF-8; they are read as Windows-1252.", decoder.stray()));
  }
  LineCutter cutter;
  cutter.add(text);
  std::vector<TextLine> lines;
  for (std::string_view line; cutter.next(line, true);) {
    if (line.size() > longest_log_line) {
      throw InputError(Problem{Code::file, fmt::format("a line of {} bytes", line.size()),
                               fmt::format("Lines have at most {} bytes.", longest_log_line),
                               place_in(table.file, line, cutter.number(), 1, {})});
    }
    lines.push_back({std::string(line), cutter.number()});
  }
  return lines;
}

void take_rows(const std::vector<TextLine>& lines, const Layout& layout, TolerantTable& table) {
  CellCutter cutter(layout.separator);
  std::size_t cells = 0;
  for (std::size_t i = layout.first; i < lines.size(); ++i) {
    if (is_blank(lines[i].text)) continue;
    const std::vector<CellView>& seen = cutter.cut(lines[i].text);
    if (repeats(seen, layout.heading) || repeats(seen, layout.units)) continue;
    if (is_comment(lines[i].text)) continue;
    TolerantRow row = row_of(lines[i].text, lines[i].number, layout.separator);
    cells += row.cells.size();
    if (cells > most_cells) {
      fail_file(Code::bounds, table.file, "the file has too many cells",
                fmt::format("At most {} in one table.", most_cells));
    }
    table.rows.push_back(std::move(row));
  }
}

char find_decimal(const TolerantTable& table) {
  DecimalFinder finder(table.file);
  for (const TolerantRow& row : table.rows) {
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      finder.see(row, i, table.dialect.separator);
    }
  }
  return finder.found();
}

}  // namespace

Place TolerantTable::at(const TolerantRow& row, std::size_t cell) const {
  if (cell < row.cells.size()) {
    return place_in(file, row.written, row.line, row.cells[cell].column, row.cells[cell].text);
  }
  return place_in(file, row.written, row.line, static_cast<int>(row.written.size()) + 1, {});
}

TolerantTable tolerant_table(std::string_view bytes, const std::string& file,
                             const ReadingChoice& choice, const KnownHeading& is_known) {
  check_size(bytes, file);
  TolerantTable table;
  table.file = file;
  const std::vector<TextLine> lines = lines_of(bytes, choice, table);
  Layout layout = find_layout(lines, choice, is_known);
  table.dialect.separator = layout.separator;
  for (std::string& one : layout.decisions) table.decisions.push_back(std::move(one));
  take_rows(lines, layout, table);
  table.heading = std::move(layout.heading);
  table.units = std::move(layout.units);
  if (table.rows.empty()) {
    fail_file(Code::missing, file, "the file has no rows",
              "Below a heading, one row of numbers a line.");
  }
  table.dialect.decimal = choice.decimal ? *choice.decimal : find_decimal(table);
  if (table.dialect.decimal == ',' && !choice.decimal) {
    table.decisions.push_back("Numbers have a decimal comma.");
  }
  return table;
}

}  // namespace libloop::files
