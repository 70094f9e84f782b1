#include "libloop/files/measured_log.hpp"

#include <fmt/format.h>

#include <optional>

#include "libloop/files/log_words.hpp"
#include "libloop/files/measured_words.hpp"
#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_stamp.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t most_points = 20;  // that one cooler has with a time each; judgement

std::optional<std::size_t> time_column(const TolerantRow& heading) {
  for (std::size_t i = 0; i < heading.cells.size(); ++i) {
    const std::string& written = heading.cells[i].text;
    if (column_named(written) == Column::cooler) return std::nullopt;
  }
  for (std::size_t i = 0; i < heading.cells.size(); ++i) {
    const std::string& written = heading.cells[i].text;
    if (meaning_of_heading(written, heading_unit(written)).is_time()) return i;
  }
  return std::nullopt;
}

// Of a count or a clock; days are not needed to see whether it rises. Nothing for neither.
std::optional<double> seconds_in(std::string_view cell, char decimal) {
  const TolerantNumber number = tolerant_number(cell, decimal);
  if (number.is_number()) return number.value;
  const std::optional<Stamp> stamp = parse_stamp(cell);
  if (!stamp || !stamp->clock) return std::nullopt;
  return stamp->clock;
}

}  // namespace

void check_is_no_log(const TolerantTable& table) {
  if (table.rows.size() <= most_points) return;
  const std::optional<std::size_t> column = time_column(table.heading);
  if (!column) return;
  std::size_t rising = 0;
  std::optional<double> last;
  for (const TolerantRow& row : table.rows) {
    const std::optional<double> now = seconds_in(row.text(*column), table.dialect.decimal);
    if (now && last && *now > *last) ++rising;
    if (now) last = now;
  }
  // A clock may pass midnight, and a logger may be started anew.
  if (10 * rising < 9 * (table.rows.size() - 1)) return;
  throw InputError(Problem{
      Code::kind,
      fmt::format("this looks like a log, not a table of points: no column names a cooler, and "
                  "{} rows follow one another in {}",
                  table.rows.size(), quoted_cell(table.heading.text(*column))),
      "Run 'libloop reduce' on it first: its --csv is such a table.",
      table.at(table.heading, *column)});
}

}  // namespace libloop::files
