#include "libloop/files/log_clock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr double day_seconds = 86400.0;
constexpr double least_epoch = 5e8;         // s since 1970: 1985; no cooler is tested that long
constexpr double least_epoch_ms = 5e11;     // the same in milliseconds
constexpr double serial_of_1970 = 25569.0;  // days since 1899-12-30, as spreadsheets count
constexpr double last_serial = 80000.0;     // the year 2119

// What a column of the first rows holds.
struct Contents {
  std::size_t filled = 0, numbers = 0, clocks = 0, dates = 0, both = 0;

  bool mostly(std::size_t kind) const { return 2 * kind > filled; }
};

Contents look(const std::vector<TolerantRow>& rows, std::size_t cell, char decimal) {
  Contents out;
  for (const TolerantRow& row : rows) {
    const std::string_view text = row.text(cell);
    if (says_nothing(text)) continue;
    ++out.filled;
    if (const std::optional<Stamp> stamp = parse_stamp(text)) {
      if (stamp->date && stamp->clock) ++out.both;
      if (stamp->date && !stamp->clock) ++out.dates;
      if (!stamp->date) ++out.clocks;
    } else if (tolerant_number(text, decimal).is_number()) {
      ++out.numbers;
    }
  }
  return out;
}

// Whether a column says the same in most rows as in the rows before.
bool stands(const std::vector<TolerantRow>& rows, std::size_t cell) {
  std::size_t same = 0;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    if (rows[i].text(cell) == rows[i - 1].text(cell)) ++same;
  }
  return 2 * same + 1 > rows.size();
}

bool holds(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

std::string_view order_words(DateOrder order) {
  return order == DateOrder::day_first     ? "day-first"
         : order == DateOrder::month_first ? "month-first"
                                           : "year-first";
}

}  // namespace

LogClock::LogClock(std::string file, const ColumnFinder& columns,
                   const std::vector<TolerantRow>& rows, char decimal,
                   std::optional<DateOrder> dates, std::vector<std::string>& decisions)
    : file_(std::move(file)), decimal_(decimal) {
  choose(columns, rows);
  if (form_ == Form::number) {
    settle_number(rows, decisions);
  } else {
    settle_clock(rows, decisions);
  }
  if (form_ == Form::stamp || form_ == Form::date_and_clock) settle_dates(rows, dates, decisions);
}

// ---- which column

// Dates with clock times come first: they know of pauses.
bool LogClock::choose_dated(const std::vector<TimeColumn>& columns,
                            const std::vector<TolerantRow>& rows) {
  std::optional<TimeColumn> date, clock;
  for (const TimeColumn& column : columns) {
    const Contents held = look(rows, column.cell, decimal_);
    if (held.mostly(held.both)) {
      form_ = Form::stamp;
      column_ = column;
      return true;
    }
    if (held.mostly(held.dates) && !date) date = column;
    if (held.mostly(held.clocks) && !clock) clock = column;
  }
  if (!date || !clock) return false;
  form_ = Form::date_and_clock;
  column_ = *clock;
  date_column_ = *date;
  return true;
}

void LogClock::choose(const ColumnFinder& columns, const std::vector<TolerantRow>& rows) {
  const std::vector<TimeColumn>& named = columns.times();
  const bool dated = choose_dated(named, rows);
  if (dated && !stands(rows, column_.cell)) return;
  for (const Form form : {Form::number, Form::clock}) {
    for (const TimeColumn& column : named) {
      const Contents held = look(rows, column.cell, decimal_);
      if (!held.mostly(form == Form::number ? held.numbers : held.clocks)) continue;
      // A dated clock that stands still between rows gives way to a counter only.
      if (dated && (form == Form::clock || stands(rows, column.cell))) continue;
      form_ = form;
      column_ = column;
      return;
    }
  }
  if (dated) return;
  if (columns.time_is_chosen()) fail_no_time(columns);
  // No heading says time, but cells may.
  if (choose_dated(columns.unnamed(), rows)) return;
  for (const TimeColumn& column : columns.unnamed()) {
    const Contents held = look(rows, column.cell, decimal_);
    if (!held.mostly(held.clocks)) continue;
    form_ = Form::clock;
    column_ = column;
    return;
  }
  fail_no_time(columns);
}

void LogClock::fail_no_time(const ColumnFinder& columns) const {
  std::vector<std::string> named;
  for (const TimeColumn& column : columns.times()) {
    named.push_back(fmt::format("'{}'", shown_cell(trimmed(column.heading))));
  }
  throw InputError(Problem{
      Code::missing,
      named.empty() ? std::string("no column tells the time")
                    : fmt::format("no time can be read in column {}", text::list(named, "or")),
      "Name it: --column time=HEADING. Elapsed seconds, hh:mm:ss, or dates with them are read; "
      "a log without any needs a column \"time [s]\": number its rows by the logger's interval.",
      {file_, 0, 0, 1, {}}});
}

std::vector<std::size_t> LogClock::cells() const {
  if (form_ == Form::date_and_clock) return {column_.cell, date_column_.cell};
  return {column_.cell};
}

// ---- how it is read

void LogClock::settle_number(const std::vector<TolerantRow>& rows,
                             std::vector<std::string>& decisions) {
  const std::string heading = shown_cell(trimmed(column_.heading));
  double first = 0.0;
  for (const TolerantRow& row : rows) {
    const TolerantNumber number = tolerant_number(row.text(column_.cell), decimal_);
    if (!number.is_number()) continue;
    first = number.value;
    break;
  }
  const std::string name = folded(heading);
  if (!column_.unit.empty()) {
    factor_ = parse_unit(column_.unit).factor;
    decisions.push_back(fmt::format("Column '{}' is the time, in {}.", heading, column_.unit));
  } else if (first >= least_epoch) {
    factor_ = first >= least_epoch_ms ? 1e-3 : 1.0;
    absolute_ = true;
    decisions.push_back(fmt::format("Column '{}' is the time, in {} since 1970.", heading,
                                    factor_ < 1.0 ? "milliseconds" : "seconds"));
  } else if (first > serial_of_1970 && first < last_serial &&
             (holds(name, "date") || holds(name, "datum"))) {
    factor_ = day_seconds;
    offset_ = -serial_of_1970 * day_seconds;
    absolute_ = true;
    decisions.push_back(
        fmt::format("Column '{}' is the time, in days as spreadsheets count them.", heading));
  } else {
    decisions.push_back(
        fmt::format("Column '{}' is the time: it has no unit, and is taken to be in s.", heading));
  }
}

void LogClock::settle_clock(const std::vector<TolerantRow>& rows,
                            std::vector<std::string>& decisions) {
  const std::string heading = shown_cell(trimmed(column_.heading));
  const std::string name = folded(column_.heading);
  bool two_parts = false, past_hours = false, past_day = false;
  const TolerantRow* seen = nullptr;
  std::optional<double> start;
  for (const TolerantRow& row : rows) {
    const std::optional<Stamp> stamp = parse_stamp(row.text(column_.cell));
    if (!stamp || !stamp->clock) continue;
    if (!start) start = stamp->clock;
    if (stamp->clock_parts == 2) {
      two_parts = true;
      if (seen == nullptr) seen = &row;
      past_hours = past_hours || *stamp->clock >= day_seconds || stamp->fraction;
    }
    past_day = past_day || *stamp->clock >= day_seconds;
  }
  decisions.push_back(form_ == Form::date_and_clock
                          ? fmt::format("Columns '{}' and '{}' are the time.",
                                        shown_cell(trimmed(date_column_.heading)), heading)
                          : fmt::format("Column '{}' is the time.", heading));
  if (form_ != Form::clock || !two_parts) {
    // One that begins at nothing, to the second, counts from the start.
    counts_on_ = past_day || holds(name, "elapsed") || start.value_or(1.0) < 1.0;
    return;
  }
  const bool says_minutes = holds(name, "mm:ss") && !holds(name, "h:mm:ss");
  const bool says_hours = holds(name, "hh:mm") || holds(name, "h:mm");
  if (!says_minutes && !says_hours && !past_hours) {
    const TolerantCell& cell = seen->cells[column_.cell];
    throw InputError(Problem{
        Code::conflict,
        fmt::format("'{}' may be hours and minutes or minutes and seconds", shown_cell(cell.text)),
        fmt::format("Say so in the heading: \"{0} [hh:mm]\" or \"{0} [mm:ss]\".", heading),
        place_in(file_, seen->written, seen->line, cell.column, cell.text)});
  }
  minutes_first_ = says_minutes || (!says_hours && past_hours);
  counts_on_ = minutes_first_ || past_day;
  decisions.push_back(minutes_first_ ? "Times are minutes and seconds."
                                     : "Times are hours and minutes.");
}

void LogClock::settle_dates(const std::vector<TolerantRow>& rows, std::optional<DateOrder> dates,
                            std::vector<std::string>& decisions) {
  const std::size_t cell = form_ == Form::stamp ? column_.cell : date_column_.cell;
  const TolerantRow* seen = nullptr;
  for (const TolerantRow& row : rows) {
    const std::optional<Stamp> stamp = parse_stamp(row.text(cell));
    if (!stamp || !stamp->date) continue;
    // The one that tells the order is the one to show.
    DateOrders alone;
    alone.see(*stamp->date);
    if (seen == nullptr || (!alone.either() && allowed_.either())) seen = &row;
    allowed_.see(*stamp->date);
  }
  if (dates) {
    order_ = *dates;
    decisions.push_back(fmt::format("Dates are {}.", order_words(order_)));
    return;
  }
  doubtful_ = allowed_.either();
  if (!doubtful_ && !allowed_.only()) {
    throw InputError(Problem{
        Code::conflict, "some dates can only be day-first, others only month-first",
        "Say how to read them: --dates day-first or --dates month-first; rows that do not fit are "
        "then left out and counted.",
        place_in(file_, seen->written, seen->line, seen->cells[cell].column, seen->text(cell))});
  }
  order_ = allowed_.only().value_or(DateOrder::day_first);
  if (!doubtful_ && seen != nullptr && order_ != DateOrder::year_first) {
    decisions.push_back(
        fmt::format("Dates are {}: '{}'.", order_words(order_), shown_cell(seen->text(cell))));
  }
}

}  // namespace libloop::files
