#include <fmt/format.h>

#include <cmath>

#include "libloop/files/log_clock.hpp"
#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr double day_seconds = 86400.0;

}  // namespace

std::optional<double> LogClock::read_number(std::string_view text) const {
  const TolerantNumber number = tolerant_number(text, decimal_);
  if (!number.is_number()) return std::nullopt;
  double factor = factor_;
  if (!number.unit.empty()) {
    const std::string unit = known_unit(number.unit);
    if (measure_of_unit(unit) != Measure::time) return std::nullopt;
    factor = parse_unit(unit).factor;
  }
  const double seconds = number.value * factor + offset_;
  // Beyond it two seconds are no longer told apart from one.
  return std::abs(seconds) < 1e14 ? std::optional<double>(seconds) : std::nullopt;
}

// Remembers whether another order of day and month would change the distance between rows.
void LogClock::watch(const Dated& dated) {
  const WrittenDate& date = dated.date;
  allowed_.see(date);
  if (!doubtful_ || date.named) return;
  if (!allowed_.either()) {
    const DateOrder order = allowed_.only().value_or(order_);
    if (order != order_) throw ReadAgain{order};
    doubtful_ = false;
    return;
  }
  if (!first_date_) {
    first_date_ = date;
    return;
  }
  if (matters_) return;
  const auto between = [&](DateOrder order) {
    return day_of(date, order).value_or(0) - day_of(*first_date_, order).value_or(0);
  };
  if (between(DateOrder::day_first) == between(DateOrder::month_first)) return;
  matters_ = place_in(file_, dated.line, dated.number, dated.cell.column, dated.cell.text);
  matters_cell_ = shown_cell(dated.cell.text);
}

std::optional<long long> LogClock::day(const Dated& dated) {
  const WrittenDate& date = dated.date;
  if (last_date_ && *last_date_ == date) return last_day_;
  // A date that no order allows is no date; it must not upset the others.
  const bool some = day_of(date, DateOrder::day_first) || day_of(date, DateOrder::month_first) ||
                    day_of(date, DateOrder::year_first);
  if (!some) return std::nullopt;
  watch(dated);
  const std::optional<long long> found =
      day_of(date, !date.named && date.digits[0] == 4 ? DateOrder::year_first : order_);
  if (!found) return std::nullopt;
  last_date_ = date;
  last_day_ = *found;
  return found;
}

std::optional<double> LogClock::read_stamp(const Stamp& stamp, const Dated& dated) {
  const std::optional<long long> found = day(dated);
  if (!found) return std::nullopt;
  double seconds = static_cast<double>(*found) * day_seconds + *stamp.clock;
  if (stamp.zone) {
    if (!zone_) zone_ = stamp.zone;
    seconds += *zone_ - *stamp.zone;
  }
  return seconds;
}

std::optional<double> LogClock::read(const std::vector<CellView>& cells, std::string_view line,
                                     int number) {
  if (column_.cell >= cells.size()) return std::nullopt;
  const std::string_view text = cells[column_.cell].text;
  if (form_ == Form::number) return read_number(text);
  const std::optional<Stamp> stamp = parse_stamp(text);
  if (!stamp || !stamp->clock) return std::nullopt;
  if (form_ == Form::clock) return minutes_first_ ? *stamp->clock / 60.0 : *stamp->clock;
  if (form_ == Form::stamp) {
    if (!stamp->date) return std::nullopt;
    return read_stamp(*stamp, {*stamp->date, cells[column_.cell], line, number});
  }
  if (date_column_.cell >= cells.size()) return std::nullopt;
  const CellView& cell = cells[date_column_.cell];
  const std::optional<Stamp> dated = parse_stamp(cell.text);
  if (!dated || !dated->date) return std::nullopt;
  return read_stamp(*stamp, {*dated->date, cell, line, number});
}

bool LogClock::is_dated() const {
  if (form_ == Form::number) return absolute_;
  if (form_ == Form::clock) return false;
  // 03/03 is one day in either order.
  const bool same = first_date_ && first_date_->part[0] == first_date_->part[1];
  return !doubtful_ || same;
}

void LogClock::tell(std::vector<std::string>& decisions) const {
  if (!doubtful_ || is_dated()) return;
  decisions.push_back(
      "Dates may be day-first or month-first; between these rows it makes no difference, and the "
      "date itself is left out.");
}

void LogClock::finish() const {
  if (!doubtful_ || !matters_) return;
  throw InputError(Problem{Code::conflict,
                           fmt::format("'{}' may be day-first or month-first, and the rows lie "
                                       "further apart in one than in the other",
                                       matters_cell_),
                           "Say which: --dates day-first or --dates month-first.", *matters_});
}

}  // namespace libloop::files
