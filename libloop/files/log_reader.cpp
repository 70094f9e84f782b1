#include "libloop/files/log_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t head_bytes = 64 * 1024;    // by which the encoding is told
constexpr std::size_t most_first = 1024 * 1024;  // of text, where less leaves things unclear
constexpr std::size_t most_sampled = 20000;      // rows
constexpr std::size_t piece = 64 * 1024;
constexpr std::size_t patience = 5;  // lines of a growing file: it may be unclear so far

// Rows of data among the first lines.
std::vector<TolerantRow> sample(const std::vector<TextLine>& lines, const Layout& layout) {
  std::vector<TolerantRow> rows;
  for (std::size_t i = layout.first; i < lines.size() && rows.size() < most_sampled; ++i) {
    if (is_blank(lines[i].text) || is_comment(lines[i].text)) continue;
    rows.push_back(row_of(lines[i].text, lines[i].number, layout.separator));
  }
  return rows;
}

// A workbook, a picture, a program: bytes that no text has.
void check_is_text(const std::string& file, std::string_view head, Encoding encoding) {
  if (encoding == Encoding::utf16_le || encoding == Encoding::utf16_be) return;
  const auto odd = std::count_if(head.begin(), head.end(), [](char c) {
    return static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\n' && c != '\r';
  });
  if (static_cast<std::size_t>(odd) * 20 <= head.size()) return;
  throw InputError(Problem{Code::file,
                           fmt::format("{} of the first {} bytes are no text", odd, head.size()),
                           "Write the log as text: save the sheet of a workbook as CSV.",
                           {file, 0, 0, 1, {}}});
}

// A comma that divides both cells and decimals makes rows longer than their heading.
void check_widths(const std::string& file, const std::vector<TolerantRow>& rows,
                  const Layout& layout) {
  const std::size_t width = layout.heading.cells.size();
  if (width == 0 || rows.empty()) return;
  std::size_t longer = 0;
  const TolerantRow* first = nullptr;
  for (const TolerantRow& row : rows) {
    std::size_t filled = row.cells.size();
    while (filled > 0 && row.cells[filled - 1].text.empty()) --filled;
    if (filled <= width) continue;
    if (first == nullptr) first = &row;
    ++longer;
  }
  if (2 * longer <= rows.size()) return;
  const bool comma = layout.separator == ',';
  throw InputError(Problem{
      Code::conflict,
      fmt::format("this row has {} cells, the heading {}", first->cells.size(), width),
      comma ? "Commas seem to divide cells and to stand within numbers, too: write the file with "
              "semicolons or tabs between cells, or with decimal points."
            : "Every column needs a heading; or say what divides cells: --separator.",
      place_in(file, first->written, first->line, first->cells[width].column, {})});
}

}  // namespace

LogReader::LogReader(std::string file, LogChoice choice) : choice_(std::move(choice)) {
  log_.file = std::move(file);
}

LogReader::~LogReader() = default;

void LogReader::check_length(std::size_t size, int number) const {
  if (size <= longest_log_line) return;
  throw InputError(
      Problem{Code::file,
              fmt::format("line {} has more than {} bytes", number, size),
              fmt::format("Lines of a log have at most {} bytes; is this a log?", longest_log_line),
              {log_.file, number, 1, 1, {}}});
}

// The encoding, by the first bytes.
void LogReader::open(bool whole) {
  const std::string head = std::exchange(head_, {});
  const FoundEncoding found = find_encoding(head, choice_.reading.encoding, whole);
  if (!found.decision.empty()) early_.push_back(found.decision);
  check_is_text(log_.file, head, found.encoding);
  decoder_.emplace(found.encoding);
  feed(std::string_view(head).substr(found.mark));
}

void LogReader::feed(std::string_view bytes) {
  if (!decoder_) {
    head_ += bytes;
    if (head_.size() >= head_bytes) open(false);
    return;
  }
  // In pieces: no line waits that is longer than allowed.
  while (!bytes.empty()) {
    std::string text;
    decoder_->decode(bytes.substr(0, piece), text);
    bytes.remove_prefix(std::min(bytes.size(), piece));
    lines_.add(text);
    take_text(false);
  }
}

void LogReader::pause() {
  if (!decoder_) open(false);
  if (!rows_) begin(first_.size() < patience);
  refresh();
}

void LogReader::finish() {
  if (!decoder_) open(true);
  std::string text;
  decoder_->finish(text);
  lines_.add(text);
  take_text(true);
  if (!rows_) begin(false);
  rows_->finish();
  refresh();
}

void LogReader::take_text(bool last) {
  std::string_view line;
  while (lines_.next(line, last)) {
    check_length(line.size(), lines_.number());
    if (rows_) {
      take(line, lines_.number(), lines_.ended());
      continue;
    }
    first_.push_back({std::string(line), lines_.number()});
    first_ended_ = lines_.ended();
    first_bytes_ += line.size() + 1;
    if (first_bytes_ >= enough_) begin(first_bytes_ < most_first);
  }
  check_length(lines_.waiting(), lines_.number() + 1);
}

bool LogReader::is_known(std::string_view name) const {
  const auto mapped = [&](const std::string& wanted) {
    return !wanted.empty() && (heading_unit(wanted).name == name || wanted == name);
  };
  return is_log_heading(name) || mapped(choice_.time_column) ||
         std::any_of(choice_.columns.begin(), choice_.columns.end(),
                     [&](const auto& one) { return mapped(one.second); });
}

char LogReader::find_decimal(const ColumnFinder& columns, const std::vector<TolerantRow>& rows,
                             std::vector<std::string>& decisions) const {
  if (choice_.reading.decimal) return *choice_.reading.decimal;
  DecimalFinder finder(log_.file);
  for (const TolerantRow& row : rows) {
    for (const std::size_t cell : columns.used_cells()) {
      finder.see(row, cell, layout_->separator);
    }
  }
  const char decimal = finder.found();
  if (decimal == ',') decisions.push_back("Numbers have a decimal comma.");
  return decimal;
}

void LogReader::decide(const std::vector<TolerantRow>& rows) {
  std::vector<std::string> decisions = early_;
  decisions.insert(decisions.end(), layout_->decisions.begin(), layout_->decisions.end());
  const ColumnFinder columns(log_.file, *layout_, choice_);
  if (rows.empty()) {
    throw InputError(Problem{Code::missing,
                             first_.empty() ? "the file is empty" : "no rows follow the heading",
                             "A log has a heading, \"time [s],chip [C],load [W]\", and rows below.",
                             {log_.file, 0, 0, 1, {}}});
  }
  columns.require_chosen(rows);
  columns.require_channels();
  check_widths(log_.file, rows, *layout_);
  const char decimal = find_decimal(columns, rows, decisions);
  LogClock clock(log_.file, columns, rows, decimal, choice_.reading.dates, decisions);
  std::vector<ValueColumn> values = columns.settle(rows, decimal, clock.cells(), decisions);
  early_ = std::move(decisions);
  rows_ = std::make_unique<LogRows>(log_, choice_.most_rows, *layout_, std::move(values),
                                    std::move(clock), decimal);
}

// `patient`: of a file that goes on, what is not clear yet may become so.
void LogReader::begin(bool patient) {
  layout_ = std::make_unique<Layout>(
      find_layout(first_, choice_.reading, [&](std::string_view name) { return is_known(name); }));
  cutter_.emplace(layout_->separator);
  const std::vector<TolerantRow> rows = sample(first_, *layout_);
  try {
    decide(rows);
  } catch (const InputError&) {
    if (!patient) throw;
    enough_ = 4 * first_bytes_;
    return;
  }
  const std::vector<TextLine> lines = std::exchange(first_, {});
  for (std::size_t i = layout_->first; i < lines.size(); ++i) {
    take(lines[i].text, lines[i].number, i + 1 < lines.size() || first_ended_);
  }
}

void LogReader::take(std::string_view line, int number, bool ended) {
  if (is_blank(line)) return;
  const std::vector<CellView>& cells = cutter_->cut(line);
  if (repeats(cells, layout_->heading)) return rows_->heading_again(number);
  if (repeats(cells, layout_->units) || is_comment(line)) return;
  rows_->add(cells, line, number, !ended && cells.size() < layout_->heading.cells.size());
}

void LogReader::refresh() {
  if (!rows_) return;
  std::vector<std::string> decisions = early_;
  if (decoder_ && decoder_->stray() > 0) {
    decisions.push_back(
        fmt::format("{} bytes are no UTF-8; they are read as Windows-1252.", decoder_->stray()));
  }
  rows_->tell(decisions);
}

}  // namespace libloop::files
