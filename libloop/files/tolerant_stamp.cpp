#include "libloop/files/tolerant_stamp.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "libloop/files/tolerant_cells.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t longest_stamp = 48;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// What is left of a cell while it is read from the front.
struct Rest {
  std::string_view text;

  bool empty() const { return text.empty(); }
  char front() const { return text.empty() ? '\0' : text.front(); }
  bool take(char c) {
    if (front() != c) return false;
    text.remove_prefix(1);
    return true;
  }
  void blanks() {
    while (front() == ' ') text.remove_prefix(1);
  }
  // Up to nine figures; how many there were.
  int number(int& value) {
    int digits = 0;
    value = 0;
    while (is_digit(front()) && digits < 9) {
      value = 10 * value + (front() - '0');
      text.remove_prefix(1);
      ++digits;
    }
    return digits;
  }
};

int month_of(std::string_view word) {
  constexpr std::array<std::string_view, 12> english{"jan", "feb", "mar", "apr", "may", "jun",
                                                     "jul", "aug", "sep", "oct", "nov", "dec"};
  constexpr std::array<std::string_view, 12> german{"jan", "feb", "mae", "apr", "mai", "jun",
                                                    "jul", "aug", "sep", "okt", "nov", "dez"};
  const std::string_view start = word.substr(0, 3);
  for (std::size_t i = 0; i < 12; ++i) {
    if (start == english[i] || start == german[i]) return static_cast<int>(i) + 1;
  }
  return 0;
}

std::optional<int> take_month(Rest& rest) {
  std::size_t n = 0;
  while (n < rest.text.size() && rest.text[n] >= 'a' && rest.text[n] <= 'z') ++n;
  const int month = n < 3 || n > 9 ? 0 : month_of(rest.text.substr(0, n));
  if (month == 0) return std::nullopt;
  rest.text.remove_prefix(n);
  return month;
}

void take_marks(Rest& rest) {
  while (std::string_view(" -./,").find(rest.front()) != std::string_view::npos && !rest.empty()) {
    rest.text.remove_prefix(1);
  }
}

// "12-mar-2024", "12. maerz 2024", "mar 12, 2024"
std::optional<WrittenDate> take_named_date(Rest& rest) {
  Rest at = rest;
  WrittenDate date;
  date.named = true;
  std::optional<int> month = take_month(at);
  if (month) take_marks(at);
  date.digits[0] = at.number(date.part[0]);
  if (date.digits[0] == 0 || date.digits[0] > 2) return std::nullopt;
  take_marks(at);
  if (!month) {
    month = take_month(at);
    take_marks(at);
  }
  date.digits[2] = at.number(date.part[2]);
  if (!month || (date.digits[2] != 2 && date.digits[2] != 4)) return std::nullopt;
  date.part[1] = *month;
  date.digits[1] = 2;
  rest = at;
  return date;
}

std::optional<WrittenDate> take_date(Rest& rest) {
  Rest at = rest;
  WrittenDate date;
  for (std::size_t i = 0; i < 3; ++i) {
    date.digits[i] = at.number(date.part[i]);
    if (date.digits[i] == 0 || date.digits[i] > 4 || date.digits[i] == 3) return std::nullopt;
    if (i == 2) break;
    if (i == 0) {
      date.mark = at.front();
      if (date.mark != '.' && date.mark != '/' && date.mark != '-') return std::nullopt;
    }
    if (!at.take(date.mark)) return std::nullopt;
  }
  const int years = (date.digits[0] == 4 ? 1 : 0) + (date.digits[2] == 4 ? 1 : 0);
  if (date.digits[1] > 2 || years > 1) return std::nullopt;
  rest = at;
  return date;
}

// ".5" or ",5"; nothing when there is none.
double take_fraction(Rest& rest, bool& there) {
  if ((rest.front() != '.' && rest.front() != ',') || rest.text.size() < 2 ||
      !is_digit(rest.text[1])) {
    return 0.0;
  }
  rest.text.remove_prefix(1);
  double value = 0.0, place = 0.1;
  for (; is_digit(rest.front()); rest.text.remove_prefix(1), place *= 0.1) {
    value += place * (rest.front() - '0');
  }
  there = true;
  return value;
}

// "am", "p.m.", "uhr": hours to add, nothing when there is none of them or the hour does not fit.
bool take_half(Rest& rest, int& hours) {
  Rest at = rest;
  at.blanks();
  for (const auto& [word, late] :
       {std::pair{"am", false}, {"a.m.", false}, {"pm", true}, {"p.m.", true}}) {
    const std::string_view seen = word;
    if (at.text.substr(0, seen.size()) != seen) continue;
    if (hours < 1 || hours > 12) return false;
    hours = hours % 12 + (late ? 12 : 0);
    at.text.remove_prefix(seen.size());
    rest = at;
    return true;
  }
  if (at.text.substr(0, 3) == "uhr") {
    at.text.remove_prefix(3);
    rest = at;
  }
  return true;
}

// Minutes and seconds behind the hours: ":34", ":34:56", ":34:56.7", ":34.5".
bool take_parts(Rest& rest, Stamp& stamp, std::array<int, 3>& parts, double& fraction) {
  stamp.clock_parts = 1;
  while (stamp.clock_parts < 3 && rest.take(':')) {
    if (rest.number(parts[static_cast<std::size_t>(stamp.clock_parts)]) != 2) return false;
    ++stamp.clock_parts;
  }
  // Some write the fraction behind a third colon.
  if (stamp.clock_parts == 3 && rest.front() == ':') rest.text = rest.text.substr(1);
  fraction = take_fraction(rest, stamp.fraction);
  return stamp.clock_parts > 1;
}

bool take_clock(Rest& rest, Stamp& stamp) {
  Rest at = rest;
  std::array<int, 3> parts{};
  double fraction = 0.0;
  const int digits = at.number(parts[0]);
  if (digits == 0 || digits > 5 || !take_parts(at, stamp, parts, fraction)) return false;
  if (parts[1] > 59 || parts[2] > 60) return false;  // 60: a leap second
  if (!take_half(at, parts[0])) return false;
  const double last = stamp.clock_parts == 2 ? 60.0 : 1.0;
  stamp.clock = 3600.0 * parts[0] + 60.0 * parts[1] + parts[2] + last * fraction;
  rest = at;
  return true;
}

// "z", "utc", "+01:00", "-0330", "+01"
bool take_zone(Rest& rest, Stamp& stamp) {
  rest.blanks();
  for (const std::string_view word : {"utc", "gmt", "z"}) {
    if (rest.text != word) continue;
    stamp.zone = 0.0;
    rest.text = {};
    return true;
  }
  if (rest.front() != '+' && rest.front() != '-') return rest.empty();
  const double sign = rest.front() == '-' ? -1.0 : 1.0;
  rest.text.remove_prefix(1);
  int hours = 0, minutes = 0;
  const int digits = rest.number(hours);
  if (digits == 4) {
    minutes = hours % 100;
    hours /= 100;
  } else if (digits != 2 || (rest.take(':') && rest.number(minutes) != 2)) {
    return false;
  }
  if (hours > 15 || minutes > 59) return false;
  stamp.zone = sign * (3600.0 * hours + 60.0 * minutes);
  return rest.empty();
}

}  // namespace

std::optional<Stamp> parse_stamp(std::string_view cell) {
  cell = trimmed(cell);
  if (cell.size() < 4 || cell.size() > longest_stamp) return std::nullopt;
  const std::string lower = folded(cell);
  Rest rest{lower};
  Stamp stamp;
  stamp.date = take_date(rest);
  if (!stamp.date) stamp.date = take_named_date(rest);
  if (stamp.date) {
    if (rest.empty()) return stamp;
    if (rest.front() != 't' && rest.front() != ' ' && rest.front() != ',') return std::nullopt;
    rest.text.remove_prefix(1);
    rest.blanks();
  }
  if (!take_clock(rest, stamp) || !take_zone(rest, stamp)) return std::nullopt;
  // Hours beyond a day are those of a counter, not of a date.
  if (stamp.date && *stamp.clock > 86400.0) return std::nullopt;
  return stamp;
}

}  // namespace libloop::files
