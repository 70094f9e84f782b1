#include "libloop/files/log_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/log_units.hpp"
#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr double day_seconds = 86400.0;
constexpr double nearly_a_day = 0.5 * day_seconds;  // a clock that falls by more: the next day
constexpr std::size_t enough_intervals = 101;

}  // namespace

void Counted::see(int number, std::string_view text) {
  if (count++ > 0) return;
  line = number;
  example = shown_cell(text);
}

LogRows::LogRows(Log& log, std::size_t most_rows, const Layout& layout,
                 std::vector<ValueColumn> columns, LogClock clock, char decimal)
    : log_(log),
      store_(log, most_rows),
      width_(layout.heading.cells.size()),
      clock_(std::move(clock)),
      decimal_(decimal),
      values_(columns.size(), no_reading) {
  for (ValueColumn& one : columns) {
    const DeclaredChannel& channel = declared(one.channel);
    log_.series.push_back({one.channel, one.heading, {}, 0.0});
    Column column;
    column.min = channel.min;
    column.max = channel.max;
    column.what = std::move(one);
    columns_.push_back(std::move(column));
  }
}

// ---- time

// Another heading in mid file: what follows would be read as what it is not.
void LogRows::check_heading(const std::vector<CellView>& cells, std::string_view line,
                            int number) const {
  std::size_t known = 0;
  for (const CellView& cell : cells) {
    if (tolerant_number(cell.text, decimal_).is_number()) return;
    if (is_log_heading(heading_unit(cell.text).name)) ++known;
  }
  if (known < 2) return;
  throw InputError(Problem{Code::conflict, "another heading stands here: the columns change",
                           "Cut the file in two before this line, and read each.",
                           place_in(log_.file, line, number, 1, line)});
}

// A row that is filled beyond the heading has slipped.
bool LogRows::is_too_long(const std::vector<CellView>& cells) const {
  if (width_ == 0) return false;
  for (std::size_t i = width_; i < cells.size(); ++i) {
    if (!cells[i].text.empty()) return true;
  }
  return false;
}

// A clock without dates that falls by nearly a day goes on with the next one.
double LogRows::next_day(double time) {
  if (!clock_.is_daily() || !last_) return time;
  if (time - *last_ < -nearly_a_day) {
    shift_ += day_seconds;
    return time + day_seconds;
  }
  // A row late by a little, from before midnight.
  return shift_ > 0.0 && time - *last_ > nearly_a_day ? time - day_seconds : time;
}

// A counter that falls back to where it began, or falls below a heading that stands again.
bool LogRows::begins_anew(double time) const {
  if (!clock_.is_elapsed() || !last_ || time + shift_ > *last_) return false;
  if (started_anew_) return true;
  const double fall = *last_ - (time + shift_);
  return fall > 20.0 * interval_ && time - clock_first_ <= 3.0 * interval_;
}

// s since the first row; nothing when the row is not later than the one before.
std::optional<double> LogRows::ordered(double time, int number) {
  if (begins_anew(time)) {
    restarts_.see(number);
    shift_ = *last_ + interval_ - time;
    clock_first_ = time;
  }
  started_anew_ = false;
  const double before = shift_;
  const double now = next_day(time + shift_);
  if (shift_ > before) days_.see(number);
  if (!first_) {
    first_ = now;
    clock_first_ = time;
    if (clock_.is_dated()) log_.began = now;
  } else if (now <= *last_) {
    (now == *last_ ? standing_ : backward_).see(number);
    return std::nullopt;
  } else {
    note_gap(now - *last_, number);
  }
  last_ = now;
  return now - *first_;
}

void LogRows::note_gap(double step, int number) {
  if (intervals_.size() < enough_intervals) {
    intervals_.insert(std::upper_bound(intervals_.begin(), intervals_.end(), step), step);
    interval_ = intervals_[intervals_.size() / 2];
  }
  if (step <= longest_gap_) return;
  longest_gap_ = step;
  gap_line_ = number;
}

// ---- values

const Unit* LogRows::unit_in_cell(Column& column, std::string_view unit) const {
  if (unit.empty()) return &column.what.unit;
  if (column.cell_unit_seen != unit) {
    column.cell_unit_seen = unit;
    const std::string known = known_unit(unit);
    column.cell_unit = known.empty() ? Unit{} : parse_unit(known);
    const Unit wanted = parse_unit(declared(column.what.channel).unit);
    column.cell_unit_known =
        !known.empty() && stands_for(column.cell_unit.dimension, wanted.dimension);
  }
  return column.cell_unit_known ? &column.cell_unit : nullptr;
}

double LogRows::value(Column& column, const CellView& cell, std::string_view line, int number) {
  const TolerantNumber read = tolerant_number(cell.text, decimal_);
  if (read.kind == TolerantNumber::Kind::none) return no_reading;
  if (read.kind == TolerantNumber::Kind::either) {
    ask_for_decimal(place_in(log_.file, line, number, cell.column, cell.text), cell.text);
  }
  const Unit* unit = read.is_number() ? unit_in_cell(column, read.unit) : nullptr;
  if (unit == nullptr) {
    column.unreadable.see(number, cell.text);
    return no_reading;
  }
  if (decimal_ == '\0') decimal_ = decimal_shown(cell.text);
  const double si = read.value * unit->factor + unit->offset;
  // A hair's breadth beyond a bound is on it: 60 F is 288.7055... K.
  const double slack = 1e-9 * (std::abs(column.max) + 1.0);
  if (!(si >= column.min - slack && si <= column.max + slack)) {
    column.outside.see(number, cell.text);
    return no_reading;
  }
  if (unit == &column.what.unit) column.step.see(read.value, read.decimals);
  return si;
}

void LogRows::add(const std::vector<CellView>& cells, std::string_view line, int number,
                  bool cut_off) {
  ++log_.rows_read;
  if (cut_off) return cut_off_.see(number);
  if (is_too_long(cells)) {
    check_heading(cells, line, number);
    return too_long_.see(number, line);
  }
  const std::optional<double> clock = clock_.read(cells, line, number);
  if (!clock) {
    check_heading(cells, line, number);
    return no_time_.see(number, line);
  }
  // Bounds first: a row without a reading must not set the clock.
  bool any = false;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    Column& column = columns_[i];
    const bool there = column.what.cell < cells.size();
    values_[i] = there ? value(column, cells[column.what.cell], line, number) : no_reading;
    any = any || is_reading(values_[i]);
  }
  if (!any) return empty_.see(number);
  if (const std::optional<double> time = ordered(*clock, number)) store_.add(*time, values_);
}

void LogRows::heading_again(int number) {
  headings_.see(number);
  started_anew_ = true;
}

void LogRows::finish() { store_.finish(); }

}  // namespace libloop::files
