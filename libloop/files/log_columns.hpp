// Which columns of a log are what, in which unit.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/files/log_words.hpp"
#include "libloop/files/read_log.hpp"
#include "libloop/files/tolerant_layout.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::files {

struct ValueColumn {
  std::size_t cell = 0;  // of a row, from 0
  Channel channel = Channel::chip;
  std::string heading;
  std::string unit_name;
  Unit unit;
};

// A column that may tell the time.
struct TimeColumn {
  std::size_t cell = 0;
  std::string heading;  // with its unit, as written; a row of units adds its own
  std::string unit;     // of time, where one is given
};

// Finds columns by names first, so that the decimal mark can be looked for where it matters, then
// settles units, for which numbers are looked at.
class ColumnFinder {
 public:
  // Throws InputError where a name of `choice` is not there, or two columns are one channel.
  ColumnFinder(std::string file, const Layout& layout, const LogChoice& choice);

  // Cells of channels, and of columns that may tell the time.
  std::vector<std::size_t> used_cells() const;

  // Throws InputError (unknown) where a column chosen by its number is in no row.
  void require_chosen(const std::vector<TolerantRow>& rows) const;

  // Throws InputError (missing, unknown) where no column is one of a channel.
  void require_channels() const;

  // With decisions; `times`: cells that the time is read from. Throws InputError (unit, dimension)
  // where a unit cannot be told, conflict where two columns may be one channel.
  std::vector<ValueColumn> settle(const std::vector<TolerantRow>& rows, char decimal,
                                  const std::vector<std::size_t>& times,
                                  std::vector<std::string>& decisions) const;

  const std::vector<TimeColumn>& times() const { return times_; }
  bool time_is_chosen() const { return time_chosen_; }
  // The others, which a time may stand in though no heading says so.
  std::vector<TimeColumn> unnamed() const;

 private:
  struct Named {
    std::size_t cell = 0;
    std::string heading, name, unit;
    Meaning meaning;
    bool chosen = false;
    std::string unread{};  // what stands where its unit would, and is none
  };

  Problem problem(Code code, std::size_t cell, std::string message, std::string suggestion) const;
  void name_columns();
  void take_choices();
  std::size_t chosen_cell(const std::string& wanted, const std::string& what) const;
  std::optional<std::string> chosen_unit(const Named& column) const;
  ValueColumn settled(const Named& column, const std::vector<TolerantRow>& rows, char decimal,
                      std::vector<std::string>& decisions) const;
  std::string unit_of(const Named& column, const std::vector<TolerantRow>& rows, char decimal,
                      std::string& why) const;
  [[noreturn]] void fail_unread(const Named& column) const;
  std::string machine_unit(const Named& column, const std::vector<TolerantRow>& rows, char decimal,
                           std::string& why) const;
  void keep_one_each(std::vector<ValueColumn>& columns, std::vector<Problem>& problems) const;

  std::string file_;
  const Layout& layout_;
  const LogChoice& choice_;
  std::vector<Named> named_;       // of every column
  std::vector<TimeColumn> times_;  // in the order of the file
  bool time_chosen_ = false;
};

}  // namespace libloop::files
