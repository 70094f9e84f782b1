#include <chrono>

#include "libloop/files/tolerant_stamp.hpp"

namespace libloop::files {
namespace {

int year_of(int part, int digits) {
  if (digits > 2) return part;
  return part + (part < 69 ? 2000 : 1900);
}

}  // namespace

void DateOrders::see(const WrittenDate& date) {
  if (date.named) return;
  const bool day = day_of(date, DateOrder::day_first).has_value();
  const bool month = day_of(date, DateOrder::month_first).has_value();
  const bool year = day_of(date, DateOrder::year_first).has_value();
  if (!day && !month && !year) return;  // no date at all: it tells nothing of the others
  seen_ = true;
  day_ = day_ && day;
  month_ = month_ && month && !(date.mark == '.' && day);
  year_ = year_ && year;
}

std::optional<DateOrder> DateOrders::only() const {
  if (!seen_) return DateOrder::day_first;
  if (day_ && month_) return std::nullopt;
  if (day_) return DateOrder::day_first;
  if (month_) return DateOrder::month_first;
  return year_ ? std::optional(DateOrder::year_first) : std::nullopt;
}

std::optional<long long> day_of(const WrittenDate& date, DateOrder order) {
  using namespace std::chrono;
  const bool year_first = order == DateOrder::year_first;
  if (!date.named && year_first != (date.digits[0] == 4) &&
      (date.digits[0] == 4 || date.digits[2] == 4)) {
    return std::nullopt;
  }
  const std::size_t y = year_first && !date.named ? 0 : 2;
  const bool month_first = order == DateOrder::month_first && !date.named;
  const std::size_t m = month_first ? 0 : 1, d = y == 0 ? 2 : month_first ? 1 : 0;
  const year_month_day day{year{year_of(date.part[y], date.digits[y])},
                           month{static_cast<unsigned>(date.part[m])},
                           std::chrono::day{static_cast<unsigned>(date.part[d])}};
  // A part too great for a month or day wraps within <chrono>.
  if (date.part[m] > 12 || date.part[d] > 31 || !day.ok()) return std::nullopt;
  return static_cast<long long>(sys_days{day}.time_since_epoch().count());
}

}  // namespace libloop::files
