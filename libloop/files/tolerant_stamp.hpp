// Dates and clock times as loggers and people write them.
#pragma once

#include <array>
#include <optional>
#include <string_view>

#include "libloop/files/tolerant.hpp"

namespace libloop::files {

// A date as written: three numbers in the order of the file, or a month by name.
struct WrittenDate {
  std::array<int, 3> part{};    // of a named month: day, month, year
  std::array<int, 3> digits{};  // figures of each
  char mark = '-';              // '.', '/' or '-' between them
  bool named = false;           // the month has a name: the order is known

  friend bool operator==(const WrittenDate&, const WrittenDate&) = default;
};

struct Stamp {
  std::optional<WrittenDate> date;
  std::optional<double> clock;  // s since midnight, or since the start where hours pass 24
  int clock_parts = 0;          // 2: hh:mm or mm:ss, read as hh:mm; 3: hh:mm:ss
  bool fraction = false;        // of the last part
  std::optional<double> zone;   // s, east of UTC
};

// A date, a clock time, or both with a blank, a 'T' or a comma between; nothing when the cell is
// neither.
std::optional<Stamp> parse_stamp(std::string_view cell);

// Days since 1970-01-01 in the proleptic Gregorian calendar; nothing when there is no such day.
// Years of two figures are 1969 to 2068 (POSIX strptime, %y).
std::optional<long long> day_of(const WrittenDate& date, DateOrder order);

// The orders that all dates of a file allow. Dates with dots are day-first unless that is no day
// (DIN 5008, from memory). A year of two figures comes last, unless that is no day.
class DateOrders {
 public:
  void see(const WrittenDate& date);
  // The one that is left; nothing when two are, or none. Without dates to tell: day first.
  std::optional<DateOrder> only() const;
  // Whether day-first and month-first are both possible.
  bool either() const { return day_ && month_ && seen_; }

 private:
  bool seen_ = false, day_ = true, month_ = true, year_ = true;
};

}  // namespace libloop::files
