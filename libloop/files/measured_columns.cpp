#include "libloop/files/measured_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::files {
namespace {

bool is_fan_unit(std::string_view unit) { return unit == "%" || unit == "rpm" || unit == "rps"; }

// Whether numbers in `unit` can be the column's: a difference of temperature may be told in C or F.
bool fits(Column column, const std::string& unit) {
  if (column == Column::fan) return is_fan_unit(unit);
  const std::string usual(usual_unit(column));
  if (usual.empty()) return true;
  if (usual == "K" && (unit == "C" || unit == "F")) return true;
  return stands_for(parse_unit(unit).dimension, parse_unit(usual).dimension);
}

double in_si(Column column, double number, const std::string& unit) {
  if (usual_unit(column) == "K" && unit == "C") return number;
  if (usual_unit(column) == "K" && unit == "F") return number * 5.0 / 9.0;
  return from_unit(number, unit);
}

// "<28", "<= 28", "≤28": what stands behind the mark; nothing without one.
std::optional<std::string_view> below(std::string_view cell) {
  for (const std::string_view mark : {"<=", "<", "\xE2\x89\xA4"}) {
    if (cell.substr(0, mark.size()) == mark) return trimmed(cell.substr(mark.size()));
  }
  return std::nullopt;
}

// The same of ">40", ">= 40", "≥40".
std::optional<std::string_view> above(std::string_view cell) {
  for (const std::string_view mark : {">=", ">", "\xE2\x89\xA5"}) {
    if (cell.substr(0, mark.size()) == mark) return trimmed(cell.substr(mark.size()));
  }
  return std::nullopt;
}

// Where more than a measured value may stand: a level, a rise, a chip that was hotter.
bool may_bound(Column column, bool least) {
  return least ? column == Column::rise || column == Column::chip : column == Column::noise;
}

std::string in_quotes(std::string_view cell) { return "'" + shown_cell(cell) + "'"; }

}  // namespace

TolerantTable measured_rows(std::string_view bytes, const std::string& file,
                            const ReadingChoice& choice) {
  return tolerant_table(bytes, file, choice,
                        [](std::string_view name) { return column_named(name).has_value(); });
}

TableColumns::TableColumns(const TolerantTable& table, std::vector<std::string>& decisions)
    : table_(table), decisions_(decisions) {
  find_columns();
  settle_units();
  tell_usual_units();
}

const FoundColumn* TableColumns::find(Column column) const {
  for (const FoundColumn& one : columns_) {
    if (one.column == column) return &one;
  }
  return nullptr;
}

void TableColumns::find_columns() {
  const TolerantRow& heading = table_.heading;
  for (std::size_t i = 0; i < heading.cells.size(); ++i) {
    const std::string& written = heading.cells[i].text;
    const std::optional<Column> column = column_named(written);
    if (!column) {
      check_unit(i);
      constexpr std::size_t most_unknown = 50;  // looking for near misses takes time
      if (!written.empty() && unknown_.size() < most_unknown) unknown_.push_back(written);
      continue;
    }
    FoundColumn found{*column, i, written, heading_unit(written).unit};
    if (found.unit.empty()) found.unit = known_unit(table_.units.text(i));
    // "room [dBA]" is what the meter reads with the cooler off.
    const bool sound = found.unit == "dBA" || found.unit == "dB";
    if (found.column == Column::ambient && sound) found.column = Column::background;
    columns_.push_back(std::move(found));
  }
  if (columns_.empty()) {
    throw InputError(Problem{Code::missing,
                             "no column has a name that is known",
                             "A heading names them: \"cooler,load [W],fan [%],rise [K]\".",
                             {table_.file, 0, 0, 1, {}}});
  }
  if (unknown_.empty()) return;
  std::vector<std::string> shown;
  for (const std::string& name : unknown_) shown.push_back(in_quotes(name));
  decisions_.push_back(
      fmt::format("Not used: {} {}.", shown.size() == 1 ? "column" : "columns", text::list(shown)));
}

// A heading that is known but for a unit that cannot be read: its numbers may be anything.
void TableColumns::check_unit(std::size_t index) const {
  const std::string& written = table_.heading.cells[index].text;
  const Unread unread = unread_unit(written);
  if (unread.unit.empty()) return;
  const std::optional<Column> meant = column_named(unread.bare);
  if (!meant || (*meant != Column::fan && usual_unit(*meant).empty())) return;
  std::string hint = near_unit(unread.unit);
  if (!hint.empty()) hint += ' ';
  hint +=
      *meant == Column::fan
          ? std::string("Fan speeds are in % (of rated speed) or rpm: \"fan [rpm]\".")
          : fmt::format("Write it as \"{} [{}]\" or the like.", word(*meant), usual_unit(*meant));
  throw InputError(Problem{
      Code::unit,
      fmt::format("the unit {} of {} cannot be read", in_quotes(unread.unit), in_quotes(written)),
      std::move(hint), table_.at(table_.heading, index)});
}

void TableColumns::settle_units() {
  for (FoundColumn& column : columns_) {
    if (!column.unit.empty() && !fits(column.column, column.unit)) {
      throw InputError(Problem{
          Code::dimension, fmt::format("{} in '{}' cannot be", word(column.column), column.unit),
          column.column == Column::fan
              ? std::string("Fan speeds are in % (of rated speed) or rpm.")
              : fmt::format("Its unit is {} or the like.", usual_unit(column.column)),
          table_.at(table_.heading, column.index)});
    }
    if (column.column == Column::fan && column.unit.empty()) settle_fan_unit(column);
  }
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      const FoundColumn &one = columns_[k], &two = columns_[i];
      const bool both_fans = one.column == Column::fan && (one.unit == "%") != (two.unit == "%");
      if (one.column != two.column || both_fans) continue;
      throw InputError(Problem{Code::duplicate,
                               fmt::format("{} and {} are both {}", in_quotes(one.heading),
                                           in_quotes(two.heading), word(one.column)),
                               "Keep one of them, or give the other a name of its own.",
                               table_.at(table_.heading, two.index)});
    }
  }
}

// Cells may carry units of their own, and then one for all of them counts where a cell has none,
// too; else the size of the numbers tells, where it does.
void TableColumns::settle_fan_unit(FoundColumn& column) {
  double least = 0.0, most = 0.0;
  bool any = false, mixed = false;
  std::string in_cells;
  for (const TolerantRow& row : table_.rows) {
    const TolerantNumber seen = tolerant_number(row.text(column.index), table_.dialect.decimal);
    if (!seen.is_number()) continue;
    if (!seen.unit.empty()) {
      const std::string own = known_unit(seen.unit);
      mixed = mixed || (!in_cells.empty() && own != in_cells);
      in_cells = own;
      continue;
    }
    if (seen.value == 0.0) continue;
    least = any ? std::min(least, seen.value) : seen.value;
    most = any ? std::max(most, seen.value) : seen.value;
    any = true;
  }
  constexpr double slowest = 150.0;  // rpm; no fan turns so slowly, and none runs at 150 %
  if (!any) return;
  const bool turns = least > slowest, shares = least >= 5.0 && most <= 105.0;
  if (!in_cells.empty()) {
    // Cells in doubt are told one by one.
    if (mixed || !(in_cells == "rpm" ? turns : in_cells == "%" && shares)) return;
    column.unit = in_cells;
    decisions_.push_back(
        fmt::format("Where a cell of {} has no unit it is taken in {}, as others "
                    "of the column are.",
                    in_quotes(column.heading), column.unit));
    return;
  }
  if (turns) {
    column.unit = "rpm";
  } else if (shares) {
    column.unit = "%";
  } else {
    throw InputError(Problem{Code::unit,
                             fmt::format("fan speeds from {} to {} have no unit",
                                         text::number(least), text::number(most)),
                             "Write \"fan [%]\" (of rated speed) or \"fan [rpm]\" as heading.",
                             table_.at(table_.heading, column.index)});
  }
  decisions_.push_back(fmt::format("{} has no unit; by the size of its numbers it is in {}.",
                                   in_quotes(column.heading), column.unit));
}

void TableColumns::tell_usual_units() {
  std::vector<std::string> taken;
  for (const FoundColumn& column : columns_) {
    const std::string_view usual = usual_unit(column.column);
    if (usual.empty() || !column.unit.empty()) continue;
    taken.push_back(fmt::format("{} in {}", in_quotes(column.heading), usual));
  }
  if (!taken.empty()) {
    decisions_.push_back("Where no unit is given it is taken: " + text::list(taken) + ".");
  }
}

std::string_view TableColumns::text(const TolerantRow& row, Column column) const {
  const FoundColumn* found = find(column);
  return found == nullptr ? std::string_view() : row.text(found->index);
}

namespace {

// A cell of a column, its own unit before that of the heading. `usual` where there is neither.
Reading read_cell(Column column, std::string_view cell, const std::string& unit, char decimal) {
  Reading reading;
  const std::optional<std::string_view> bound = below(cell);
  const std::optional<std::string_view> least = above(cell);
  const TolerantNumber seen = tolerant_number(bound ? *bound : least ? *least : cell, decimal);
  if (seen.kind == TolerantNumber::Kind::none) return reading;
  if ((bound || least) && !may_bound(column, least.has_value())) {
    reading.trouble = fmt::format("{} is only a bound of {}", in_quotes(cell), word(column));
    return reading;
  }
  const std::string own = known_unit(seen.unit);
  if (!seen.is_number() || (!seen.unit.empty() && (own.empty() || !fits(column, own)))) {
    reading.trouble = fmt::format("{} is no {}", in_quotes(cell), word(column));
    return reading;
  }
  reading.value = in_si(column, seen.value, own.empty() ? unit : own);
  reading.most = bound.has_value();
  reading.least = least.has_value();
  return reading;
}

}  // namespace

Reading TableColumns::number(const TolerantRow& row, Column column) const {
  const FoundColumn* found = find(column);
  if (found == nullptr) return {};
  const std::string unit = found->unit.empty() ? std::string(usual_unit(column)) : found->unit;
  return read_cell(column, row.text(found->index), unit, table_.dialect.decimal);
}

FanReading TableColumns::fan(const TolerantRow& row) const {
  FanReading out;
  for (const FoundColumn& column : columns_) {
    if (column.column != Column::fan) continue;
    const std::string_view cell = row.text(column.index);
    const TolerantNumber seen = tolerant_number(cell, table_.dialect.decimal);
    if (seen.kind == TolerantNumber::Kind::none) continue;
    const std::string own = known_unit(seen.unit);
    const std::string& unit = own.empty() ? column.unit : own;
    if (!seen.is_number() || !is_fan_unit(unit) || (own.empty() && !seen.unit.empty())) {
      out.trouble = fmt::format("{} is no fan speed in % or rpm", in_quotes(cell));
    } else if (unit == "%") {
      out.share = from_unit(seen.value, unit);
    } else {
      out.speed = from_unit(seen.value, unit);
    }
  }
  return out;
}

void TableColumns::fail_missing(const std::string& what, const std::string& example) const {
  std::string hint;
  for (const std::string& name : unknown_) {
    constexpr std::size_t longest = 40;  // of a name that may be meant
    const std::string seen = heading_unit(name).name;
    if (hint.empty() && seen.size() <= longest) hint = text::did_you_mean(seen, column_names());
  }
  if (!hint.empty()) hint += ' ';
  throw InputError(Problem{Code::missing, "the table has no column for " + what,
                           hint + "Name it \"" + example + "\".", table_.at(table_.heading, 0)});
}

}  // namespace libloop::files
