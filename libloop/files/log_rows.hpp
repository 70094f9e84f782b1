// The rows of a log: cells to values, in order of time, and what could not be used.
#pragma once

#include <string>
#include <vector>

#include "libloop/files/log_clock.hpp"
#include "libloop/files/log_columns.hpp"
#include "libloop/files/log_step.hpp"
#include "libloop/files/log_store.hpp"

namespace libloop::files {

// How often a thing happened, and where first.
struct Counted {
  long long count = 0;
  int line = 0;
  std::string example;

  void see(int number, std::string_view text = {});
};

class LogRows {
 public:
  LogRows(Log& log, std::size_t most_rows, const Layout& layout, std::vector<ValueColumn> columns,
          LogClock clock, char decimal);

  // A line of data; `cut_off`: the last of the file, without an end, and short.
  void add(const std::vector<CellView>& cells, std::string_view line, int number, bool cut_off);
  // The heading stands again in the file: the logger was started anew.
  void heading_again(int number);
  // No more rows come.
  void finish();
  // Writes what was counted, and the steps, into the log. `decisions`: those made before. Throws
  // InputError (conflict) when dates can be read in two ways and that matters.
  void tell(const std::vector<std::string>& decisions);

 private:
  struct Column {
    ValueColumn what;
    double min = 0.0, max = 0.0;
    StepFinder step;
    Counted outside, unreadable;
    std::string cell_unit_seen;  // the last unit behind a number, and what it is
    Unit cell_unit;
    bool cell_unit_known = false;
  };

  void check_heading(const std::vector<CellView>& cells, std::string_view line, int number) const;
  bool is_too_long(const std::vector<CellView>& cells) const;
  std::optional<double> ordered(double time, int number);
  double next_day(double time);
  bool begins_anew(double time) const;
  double value(Column& column, const CellView& cell, std::string_view line, int number);
  const Unit* unit_in_cell(Column& column, std::string_view unit) const;
  void note_gap(double step, int number);
  void tell_gap(std::vector<std::string>& decisions) const;
  void tell_left_out();

  Log& log_;
  LogStore store_;
  std::size_t width_;
  std::vector<Column> columns_;
  LogClock clock_;
  char decimal_;
  std::vector<double> values_;

  // Time: what is added to the clock's, the first and the last that were used.
  double shift_ = 0.0;
  std::optional<double> first_, last_;
  double clock_first_ = 0.0;  // as the clock read at its last start
  double interval_ = 1.0;     // s, the usual distance of rows
  std::vector<double> intervals_;
  double longest_gap_ = 0.0;
  int gap_line_ = 0;
  bool started_anew_ = false;  // a heading stood again, and no row since

  Counted too_long_, no_time_, standing_, backward_, empty_, cut_off_;
  Counted headings_, restarts_, days_;
};

}  // namespace libloop::files
