#include "libloop/report/row_words.hpp"

#include <fmt/format.h>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::report {
namespace {

std::string in_unit(const Row& row, double si, int digits = all_digits) {
  return text::number(to_unit(si, row.unit), digits);
}

}  // namespace

std::string low_of(const Row& row, const Range& range) {
  return row.type == Row::Type::quantity ? in_unit(row, range.low) : "";
}

std::string typical_of(const Row& row, const Range& range) {
  if (row.type == Row::Type::quantity) return in_unit(row, range.typical);
  if (row.type == Row::Type::nominal && range.typical > 0.0) return in_unit(row, range.typical);
  return "";
}

std::string high_of(const Row& row, const Range& range) {
  return row.type == Row::Type::quantity ? in_unit(row, range.high) : "";
}

std::string range_of(const Row& row, const Range& range, int digits) {
  if (range.exact()) return "exact";
  return fmt::format("{} to {}", in_unit(row, range.low, digits),
                     show(range.high, row.unit, digits));
}

std::string possible(const Row& row) {
  switch (row.type) {
    case Row::Type::count:
      return fmt::format("{} to {}", row.fewest, row.most);
    case Row::Type::choice:
      return text::list(row.words, "or");
    case Row::Type::curve:
      return fmt::format("{} [{}], {} [{}]", row.x_name, row.x_unit, row.y_name, row.y_unit);
    case Row::Type::override:
      return row.source == "not used" ? "used only when given" : "from " + row.source;
    case Row::Type::quantity:
    case Row::Type::nominal:
      break;
  }
  return "";
}

std::string usual(const Row& row) {
  switch (row.type) {
    case Row::Type::quantity:
      return show(row.range.typical, row.unit, all_digits);
    case Row::Type::nominal:
      return row.range.typical > 0.0 ? show(row.range.typical, row.unit, all_digits) : "by rule";
    case Row::Type::count:
      return std::to_string(row.number);
    case Row::Type::choice:
      return row.required ? "required" : row.words[static_cast<std::size_t>(row.number)];
    case Row::Type::override:
      return "by rule";
    case Row::Type::curve:
      break;
  }
  return "-";
}

std::string bounds_words(const Row& row) {
  return fmt::format("{} to {}", text::number(to_unit(row.min, row.unit), all_digits),
                     show(row.max, row.unit, all_digits));
}

std::string_view type_word(Row::Type type) {
  switch (type) {
    case Row::Type::quantity:
      return "quantity";
    case Row::Type::override:
      return "override";
    case Row::Type::nominal:
      return "nominal";
    case Row::Type::count:
      return "count";
    case Row::Type::choice:
      return "choice";
    case Row::Type::curve:
      return "curve";
  }
  return "quantity";
}

}  // namespace libloop::report
