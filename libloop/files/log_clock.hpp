// Reads the time of each row: elapsed numbers, clock times, dates with them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/files/log_columns.hpp"
#include "libloop/files/tolerant_stamp.hpp"

namespace libloop::files {

// The order of dates was taken to be another than a later row allows: read again, with this one.
struct ReadAgain {
  DateOrder order;
};

class LogClock {
 public:
  // Decides by the first rows. Throws InputError: missing where no column tells the time,
  // conflict where it may be read in two ways.
  LogClock(std::string file, const ColumnFinder& columns, const std::vector<TolerantRow>& rows,
           char decimal, std::optional<DateOrder> dates, std::vector<std::string>& decisions);

  // s on the log's own scale; nothing where the cells hold no time. Throws ReadAgain.
  std::optional<double> read(const std::vector<CellView>& cells, std::string_view line, int number);

  // Whether the scale is a clock's without dates, on which a new day begins anew.
  bool is_daily() const { return form_ == Form::clock && !counts_on_; }
  // Whether it counts from the start of the logger.
  bool is_elapsed() const {
    return (form_ == Form::number && !absolute_) || (form_ == Form::clock && counts_on_);
  }
  // Whether its zero is 1970-01-01 00:00, so that the first row's date is known for sure.
  bool is_dated() const;
  // Throws InputError (conflict) when dates could be read in two ways and that matters.
  void finish() const;
  // What became known while reading.
  void tell(std::vector<std::string>& decisions) const;
  // Cells that the time is read from.
  std::vector<std::size_t> cells() const;

 private:
  enum class Form { number, clock, stamp, date_and_clock };

  void choose(const ColumnFinder& columns, const std::vector<TolerantRow>& rows);
  bool choose_dated(const std::vector<TimeColumn>& columns, const std::vector<TolerantRow>& rows);
  [[noreturn]] void fail_no_time(const ColumnFinder& columns) const;
  void settle_number(const std::vector<TolerantRow>& rows, std::vector<std::string>& decisions);
  void settle_clock(const std::vector<TolerantRow>& rows, std::vector<std::string>& decisions);
  void settle_dates(const std::vector<TolerantRow>& rows, std::optional<DateOrder> dates,
                    std::vector<std::string>& decisions);
  std::optional<double> read_number(std::string_view text) const;
  // Of a date, and the cell that holds it.
  struct Dated {
    const WrittenDate& date;
    const CellView& cell;
    std::string_view line;
    int number;
  };
  std::optional<double> read_stamp(const Stamp& stamp, const Dated& dated);
  std::optional<long long> day(const Dated& dated);
  void watch(const Dated& dated);

  std::string file_;
  Form form_ = Form::number;
  TimeColumn column_, date_column_;
  char decimal_;
  double factor_ = 1.0, offset_ = 0.0;  // of numbers
  bool absolute_ = false;               // numbers count from 1970
  bool minutes_first_ = false;          // mm:ss
  bool counts_on_ = false;              // a clock whose hours pass 24
  // Dates: the order, whether month-first is possible as well, and whether it would matter.
  DateOrder order_ = DateOrder::day_first;
  DateOrders allowed_;
  bool doubtful_ = false;
  std::optional<WrittenDate> first_date_, last_date_;
  long long last_day_ = 0;
  std::optional<Place> matters_;
  std::string matters_cell_;
  std::optional<double> zone_;
};

}  // namespace libloop::files
