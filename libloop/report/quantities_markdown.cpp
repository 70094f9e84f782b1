#include <fmt/format.h>

#include <algorithm>

#include "libloop/report/quantities.hpp"
#include "libloop/report/row_words.hpp"

namespace libloop::report {
namespace {

std::string cell(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '|') out += '\\';
    out += c;
  }
  return out;
}

std::string markdown_line(const std::vector<std::string>& cells) {
  std::string out = "|";
  for (const std::string& text : cells) out += ' ' + cell(text) + " |";
  return out + '\n';
}

std::string markdown_head(const std::vector<std::string>& names) {
  return '\n' + markdown_line(names) + markdown_line(std::vector<std::string>(names.size(), "---"));
}

std::string code(const std::string& name) { return '`' + name + '`'; }

std::vector<const Row*> rows_of(const Table& table, std::initializer_list<Row::Type> types) {
  std::vector<const Row*> rows;
  for (const Row& row : table.rows) {
    if (std::find(types.begin(), types.end(), row.type) != types.end()) rows.push_back(&row);
  }
  return rows;
}

std::string markdown_quantities(const Table& table) {
  const auto rows = rows_of(table, {Row::Type::quantity});
  if (rows.empty()) return {};
  std::string out = markdown_head({"quantity", "unit", "low", "typical", "high", "possible", "kind",
                                   "scope", "source", "meaning"});
  for (const Row* row : rows) {
    const Range& range = row->range;
    out += markdown_line({code(row->name), row->unit, low_of(*row, range), typical_of(*row, range),
                          high_of(*row, range), bounds_words(*row), std::string(word(row->kind)),
                          std::string(word(row->scope)), row->source, row->meaning});
  }
  return out;
}

std::string markdown_discrete(const Table& table) {
  const auto rows = rows_of(table, {Row::Type::choice, Row::Type::count, Row::Type::nominal});
  if (rows.empty()) return {};
  std::string out =
      markdown_head({"choice, count or fixed size", "left out", "possible", "meaning"});
  for (const Row* row : rows) {
    const bool nominal = row->type == Row::Type::nominal;
    out += markdown_line({code(row->name), usual(*row),
                          nominal ? bounds_words(*row) : possible(*row), row->meaning});
  }
  return out;
}

std::string markdown_overrides(const Table& table) {
  const auto rows = rows_of(table, {Row::Type::override});
  if (rows.empty()) return {};
  std::string out = markdown_head({"override", "unit", "possible", "left out", "meaning"});
  for (const Row* row : rows) {
    out += markdown_line(
        {code(row->name), row->unit, bounds_words(*row), possible(*row), row->meaning});
  }
  return out;
}

std::string markdown_curves(const Table& table) {
  const auto rows = rows_of(table, {Row::Type::curve});
  if (rows.empty()) return {};
  std::string out = markdown_head({"curve", "points", "meaning"});
  for (const Row* row : rows) {
    out += markdown_line({code(row->name), possible(*row), row->meaning});
  }
  return out;
}

}  // namespace

std::string quantities_markdown(const std::vector<const Table*>& tables) {
  std::string out =
      "# Quantities\n\n"
      "Every row that a file may hold, part by part; `--set part.name=value` takes the same\n"
      "names. What is left out takes its typical value with the range from low to high (5 to\n"
      "95 %); a value outside of what is possible is an error. Kind, scope and the way from\n"
      "range to sample are told in [one declaration per quantity](decisions/quantity.md), the\n"
      "grammar in [files](files.md). Rows of `conditions` are no table of a file: the call\n"
      "sets them. This page is the output of `libloop quantities --markdown`.\n";
  for (const Table* table : tables) {
    out += fmt::format("\n## {}\n", table->kind);
    out += markdown_quantities(*table) + markdown_discrete(*table) + markdown_overrides(*table) +
           markdown_curves(*table);
  }
  return out;
}

}  // namespace libloop::report
