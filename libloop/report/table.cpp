#include "libloop/report/table.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

#include "libloop/base/text.hpp"

namespace libloop::report {
namespace {

constexpr std::size_t gap = 2;

std::string padded(const std::string& cell, std::size_t width, TextTable::Align align) {
  const std::size_t own = text::width(cell);
  const std::string blanks(width > own ? width - own : 0, ' ');
  return align == TextTable::Align::left ? cell + blanks : blanks + cell;
}

// A unit never starts a line, apart from its number.
bool clings(const std::string& word) {
  constexpr std::string_view units[] = {"%",   "W",     "K",   "C", "m",   "mm",
                                        "rpm", "L/min", "dBA", "s", "min", "h"};
  const std::string bare = word.substr(0, word.find_first_of(");,.:"));
  return std::find(std::begin(units), std::end(units), bare) != std::end(units);
}

// Words that stay together in one line.
std::vector<std::string> chunks(std::string_view text) {
  std::vector<std::string> all;
  for (std::string& word : text::split(text, ' ')) {
    if (word.empty()) continue;
    if (!all.empty() && clings(word)) {
      all.back() += ' ' + word;
    } else {
      all.push_back(std::move(word));
    }
  }
  return all;
}

}  // namespace

void TextTable::column(std::string_view head, std::string_view unit, Align align) {
  std::vector<std::string> lines = text::split(head, '\n');
  if (!unit.empty()) lines.push_back("[" + std::string(unit) + "]");
  columns_.push_back({std::move(lines), align});
}

void TextTable::row(std::vector<std::string> cells) {
  cells.resize(columns_.size());
  rows_.push_back(std::move(cells));
}

std::size_t TextTable::width(std::size_t indent) const {
  std::size_t all = indent;
  for (std::size_t i = 0; i < columns_.size(); ++i) all += column_width(i) + (i > 0 ? gap : 0);
  return all;
}

std::size_t TextTable::column_width(std::size_t column) const {
  std::size_t widest = 0;
  for (const std::string& line : columns_[column].head)
    widest = std::max(widest, text::width(line));
  for (const auto& row : rows_) widest = std::max(widest, text::width(row[column]));
  return widest;
}

std::string TextTable::line(const std::vector<std::string>& cells, std::size_t indent) const {
  std::string out(indent, ' ');
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) out.append(gap, ' ');
    out += padded(cells[i], column_width(i), columns_[i].align);
  }
  out.erase(out.find_last_not_of(' ') + 1);
  return out + '\n';
}

// Heads of unlike height stand on one foot.
std::vector<std::vector<std::string>> TextTable::head() const {
  std::size_t height = 0;
  for (const Column& column : columns_) height = std::max(height, column.head.size());
  std::vector<std::vector<std::string>> lines(height, std::vector<std::string>(columns_.size()));
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    const std::size_t above = height - columns_[i].head.size();
    for (std::size_t k = 0; k < columns_[i].head.size(); ++k) {
      lines[above + k][i] = columns_[i].head[k];
    }
  }
  return lines;
}

std::string TextTable::text(std::size_t indent) const {
  std::string out;
  for (const auto& cells : head()) out += line(cells, indent);
  for (const auto& cells : rows_) out += line(cells, indent);
  return out;
}

std::string paragraph(std::string_view first, std::string_view text) {
  std::string out(first);
  const std::size_t indent = text::width(first);
  std::size_t at = indent;
  bool fresh = true;
  for (const std::string& word : chunks(text)) {
    const std::size_t own = text::width(word);
    if (!fresh && at + 1 + own > page_width) {
      out += '\n' + std::string(indent, ' ');
      at = indent;
      fresh = true;
    }
    if (!fresh) out += ' ';
    out += word;
    at += own + (fresh ? 0 : 1);
    fresh = false;
  }
  return out + '\n';
}

std::string csv_cell(std::string_view text) {
  if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

std::string csv_line(const std::vector<std::string>& cells) {
  std::string out;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) out += ',';
    out += csv_cell(cells[i]);
  }
  return out + '\n';
}

}  // namespace libloop::report
