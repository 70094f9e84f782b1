// The columns of a tester's table: which is which, in what unit, and the cells of a row in SI.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/files/measured_words.hpp"
#include "libloop/files/tolerant_rows.hpp"

namespace libloop::files {

// The rows of a tester's table, with their heading found by its words.
TolerantTable measured_rows(std::string_view bytes, const std::string& file,
                            const ReadingChoice& choice);

struct FoundColumn {
  Column column = Column::cooler;
  std::size_t index = 0;
  std::string heading;  // as written
  std::string unit;     // as quantity/unit knows it; empty for text, and where cells tell
};

// A cell as a number in SI.
struct Reading {
  std::optional<double> value;
  bool most = false;    // "<28": it is no more than that
  bool least = false;   // ">40": it is no less than that
  std::string trouble;  // why there is no value though the cell holds something
};

struct FanReading {
  std::optional<double> share, speed;  // of rated speed; SI of rpm
  std::string trouble;
};

class TableColumns {
 public:
  // Throws InputError: missing for a table without a heading that is known, duplicate for two
  // columns of one meaning, dimension for a unit that cannot be, unit where fans may be in per
  // cent or rpm. Decisions go to `decisions`.
  TableColumns(const TolerantTable& table, std::vector<std::string>& decisions);

  bool has(Column column) const { return find(column) != nullptr; }
  const FoundColumn* find(Column column) const;
  // Blank for a column that is not there.
  std::string_view text(const TolerantRow& row, Column column) const;
  Reading number(const TolerantRow& row, Column column) const;
  FanReading fan(const TolerantRow& row) const;

  // Throws InputError (missing), with a near miss from the headings that mean nothing.
  [[noreturn]] void fail_missing(const std::string& what, const std::string& example) const;

 private:
  void find_columns();
  void check_unit(std::size_t index) const;
  void settle_units();
  void settle_fan_unit(FoundColumn& column);
  void tell_usual_units();

  const TolerantTable& table_;
  std::vector<std::string>& decisions_;
  std::vector<FoundColumn> columns_;
  std::vector<std::string> unknown_;  // headings
};

}  // namespace libloop::files
