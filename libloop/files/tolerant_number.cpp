#include "libloop/files/tolerant_number.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "libloop/base/text.hpp"
#include "libloop/files/tolerant_cells.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t longest_number = 64;
constexpr std::size_t thousand = 3;  // figures of a group

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Words that stand for no reading, in lower case. A meter beyond its range writes OL: common
// practice, no source.
constexpr std::array<std::string_view, 28> nothing{
    "",      "-",     "--",     "---", "\xE2\x80\x93", "\xE2\x80\x94", "n/a",     "na",
    "n.a.",  "#n/a",  "#na",    "#nv", "nan",          "-nan",         "+nan",    "null",
    "nil",   "none",  "k.a.",   "?",   "ol",           "o.l.",         "#div/0!", "#value!",
    "#ref!", "#num!", "#wert!", "..."};

// A mark between figures. Blanks and apostrophes only ever divide thousands.
struct Group {
  char mark = '\0';  // before it: '.', ',', or ' ' for all that divide thousands only
  std::string_view digits;
};

// What a cell looks like: sign, groups of figures with marks between, exponent, the rest.
struct Shape {
  bool minus = false;
  std::vector<Group> groups;  // the first without a mark; ".5" has an empty first one
  std::string_view exponent;  // "e-3"
  std::string_view rest;
};

// A mark that only divides thousands, at the start of `text`; its bytes, or 0.
std::size_t thousands_mark(std::string_view text) {
  for (const std::string_view mark :
       {std::string_view(" "), std::string_view("'"), std::string_view("\xC2\xA0"),
        std::string_view("\xE2\x80\xAF"), std::string_view("\xE2\x80\x89"),
        std::string_view("\xE2\x80\x99")}) {
    if (text.substr(0, mark.size()) == mark) return mark.size();
  }
  return 0;
}

std::size_t digits_at(std::string_view text) {
  std::size_t n = 0;
  while (n < text.size() && is_digit(text[n])) ++n;
  return n;
}

std::string_view take_exponent(std::string_view& text) {
  if (text.size() < 2 || (text[0] != 'e' && text[0] != 'E')) return {};
  const std::size_t sign = text[1] == '-' || text[1] == '+' ? 1 : 0;
  const std::size_t digits = digits_at(text.substr(1 + sign));
  if (digits == 0) return {};
  const std::string_view exponent = text.substr(0, 1 + sign + digits);
  text.remove_prefix(exponent.size());
  return exponent;
}

void take_sign(std::string_view& text, Shape& shape) {
  constexpr std::string_view true_minus = "\xE2\x88\x92";
  if (text.substr(0, true_minus.size()) == true_minus) {
    shape.minus = true;
    text.remove_prefix(true_minus.size());
  } else if (!text.empty() && (text[0] == '-' || text[0] == '+')) {
    shape.minus = text[0] == '-';
    text.remove_prefix(1);
  }
}

// The next group with its mark; false when the figures end here.
bool take_group(std::string_view& text, std::vector<Group>& groups) {
  if (text.empty()) return false;
  const bool either = text[0] == '.' || text[0] == ',';
  const std::size_t mark = either ? 1 : thousands_mark(text);
  if (mark == 0) return false;
  const std::size_t digits = digits_at(text.substr(mark));
  // A blank before anything but three figures is the end of the number.
  if (!either && digits != thousand) return false;
  groups.push_back({either ? text[0] : ' ', text.substr(mark, digits)});
  text.remove_prefix(mark + digits);
  return true;
}

std::optional<Shape> shape_of(std::string_view cell) {
  Shape shape;
  take_sign(cell, shape);
  const std::size_t first = digits_at(cell);
  shape.groups.push_back({'\0', cell.substr(0, first)});
  cell.remove_prefix(first);
  while (take_group(cell, shape.groups)) {
  }
  const bool figures = std::any_of(shape.groups.begin(), shape.groups.end(),
                                   [](const Group& g) { return !g.digits.empty(); });
  if (!figures) return std::nullopt;
  shape.exponent = take_exponent(cell);
  shape.rest = trimmed(cell);
  // "12:30", "2024-03-01", "12/3", "0x1F": no number with a unit behind it; "1200 1/min" is one.
  const bool odd = shape.rest.find_first_of(":-+/0123456789.,") != std::string_view::npos;
  if (odd && known_unit(shape.rest).empty()) return std::nullopt;
  return shape;
}

// Whether groups 1 .. `end` can be thousands.
bool are_thousands(const std::vector<Group>& groups, std::size_t end) {
  if (end < 2) return true;
  const std::size_t first = groups[0].digits.size();
  if (first == 0 || first > thousand) return false;
  for (std::size_t i = 1; i < end; ++i) {
    if (groups[i].digits.size() != thousand || groups[i].mark != groups[1].mark) return false;
  }
  return true;
}

std::size_t count(const Shape& shape, char mark) {
  return static_cast<std::size_t>(std::count_if(shape.groups.begin(), shape.groups.end(),
                                                [&](const Group& g) { return g.mark == mark; }));
}

// Whether `mark` can be the decimal mark of a shape.
bool can_be_decimal(const Shape& shape, char mark) {
  const std::size_t marks = count(shape, mark), size = shape.groups.size();
  if (marks > 1) return false;
  if (marks == 1 && shape.groups.back().mark != mark) return false;
  if (marks == 0) return shape.groups.size() == 1 || are_thousands(shape.groups, size);
  return are_thousands(shape.groups, size - 1);
}

char decimal_of(const Shape& shape) {
  if (count(shape, '.') + count(shape, ',') == 0) return '\0';
  const bool point = can_be_decimal(shape, '.'), comma = can_be_decimal(shape, ',');
  if (point && comma) {
    // "0,123" and "12,345e3" are no thousands.
    const bool zero = shape.groups[0].digits.substr(0, 1) == "0";
    return zero || !shape.exponent.empty() ? shape.groups.back().mark : '?';
  }
  if (!point && !comma) return '\0';
  return point ? '.' : ',';
}

TolerantNumber::Kind no_number(std::string_view cell) {
  return says_nothing(cell) ? TolerantNumber::Kind::none : TolerantNumber::Kind::unreadable;
}

TolerantNumber read(const Shape& shape, char decimal) {
  TolerantNumber out;
  out.kind = TolerantNumber::Kind::unreadable;
  if (!can_be_decimal(shape, decimal)) return out;
  std::string plain = shape.minus ? "-" : "";
  for (const Group& group : shape.groups) {
    if (group.mark == decimal) {
      plain += '.';
      out.decimals = static_cast<int>(group.digits.size());
    }
    plain += group.digits;
  }
  plain += shape.exponent;
  if (!shape.exponent.empty()) out.decimals = 6;
  const std::optional<double> value = text::parse_number(plain);
  if (!value) return out;
  out.kind = TolerantNumber::Kind::number;
  out.value = *value;
  out.unit = shape.rest;
  return out;
}

// The usual case without further ado: figures and at most one decimal mark.
std::optional<TolerantNumber> plain_number(std::string_view cell, char decimal) {
  constexpr std::size_t longest_plain = 24;
  if (cell.size() > longest_plain) return std::nullopt;
  std::size_t at = !cell.empty() && cell[0] == '-' ? 1 : 0;
  const std::size_t whole = digits_at(cell.substr(at));
  if (whole == 0) return std::nullopt;
  at += whole;
  const std::size_t mark = at;
  std::size_t decimals = 0;
  if (at < cell.size() && cell[at] == decimal) {
    decimals = digits_at(cell.substr(at + 1));
    at += 1 + decimals;
  }
  if (at != cell.size()) return std::nullopt;
  std::array<char, longest_plain> plain{};
  std::copy(cell.begin(), cell.end(), plain.begin());
  if (mark < cell.size()) plain[mark] = '.';
  const std::optional<double> value = text::parse_number({plain.data(), cell.size()});
  if (!value) return std::nullopt;
  return TolerantNumber{TolerantNumber::Kind::number, *value, static_cast<int>(decimals), {}};
}

}  // namespace

bool says_nothing(std::string_view cell) {
  cell = trimmed(cell);
  if (cell.size() > 8) return false;
  std::string lower(cell);
  for (char& c : lower) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return std::find(nothing.begin(), nothing.end(), lower) != nothing.end();
}

char decimal_shown(std::string_view cell) {
  cell = trimmed(cell);
  if (cell.size() > longest_number) return '\0';
  const std::optional<Shape> shape = shape_of(cell);
  return shape ? decimal_of(*shape) : '\0';
}

TolerantNumber tolerant_number(std::string_view cell, char decimal) {
  cell = trimmed(cell);
  TolerantNumber out;
  if (cell.size() > longest_number) {
    out.kind = TolerantNumber::Kind::unreadable;
    return out;
  }
  if (decimal != '\0') {
    if (const std::optional<TolerantNumber> plain = plain_number(cell, decimal)) return *plain;
  }
  const std::optional<Shape> shape = shape_of(cell);
  if (!shape) {
    out.kind = no_number(cell);
    return out;
  }
  if (decimal != '\0') return read(*shape, decimal);
  const char shown = decimal_of(*shape);
  if (shown != '?') return read(*shape, shown == '\0' ? '.' : shown);
  out.kind = TolerantNumber::Kind::either;
  return out;
}

}  // namespace libloop::files
