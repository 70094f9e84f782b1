#include "libloop/files/measured_cells.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

const char* word(DateOrder order) {
  switch (order) {
    case DateOrder::day_first:
      return "day-first";
    case DateOrder::month_first:
      return "month-first";
    case DateOrder::year_first:
      break;
  }
  return "year-first";
}

// A date that says its order itself: the year in front, or a month by name.
bool tells_itself(const WrittenDate& date) { return date.named || date.digits[0] > 2; }

bool is_figure(char c) { return c >= '0' && c <= '9'; }

// "Price [EUR]" -> "EUR"
std::string currency_of(std::string_view heading) {
  const std::size_t open = heading.find_first_of("[(");
  const std::size_t close = heading.find_last_of("])");
  if (open == std::string_view::npos || close == std::string_view::npos || close < open) return {};
  return std::string(trimmed(heading.substr(open + 1, close - open - 1)));
}

}  // namespace

Price price_of(std::string_view cell, std::string_view heading, char decimal) {
  Price price;
  price.text = trimmed(cell);
  const std::string_view all = price.text;
  const auto first = std::find_if(all.begin(), all.end(), is_figure);
  if (first == all.end()) return price;
  const auto last = std::find_if(all.rbegin(), all.rend(), is_figure).base();
  const auto begin = static_cast<std::size_t>(first - all.begin());
  const auto end = static_cast<std::size_t>(last - all.begin());
  const TolerantNumber seen = tolerant_number(all.substr(begin, end - begin), decimal);
  if (!seen.is_number() || !seen.unit.empty()) return price;
  price.amount = seen.value;
  const std::string_view before = trimmed(all.substr(0, begin)), after = trimmed(all.substr(end));
  price.unit = before.empty() ? after : before;
  if (price.unit.empty()) {
    price.unit = currency_of(heading);
    if (!price.unit.empty()) price.text += ' ' + price.unit;
  }
  return price;
}

std::optional<bool> yes_or_no(std::string_view cell, bool otherwise) {
  if (says_nothing(cell)) return otherwise;
  const std::string seen = folded(trimmed(cell));
  for (const std::string_view yes : {"yes", "y", "true", "1", "ja", "j", "wahr", "x", "ok"}) {
    if (seen == yes) return true;
  }
  for (const std::string_view no : {"no", "n", "false", "0", "nein", "falsch"}) {
    if (seen == no) return false;
  }
  return std::nullopt;
}

int Mounts::of(std::string_view cell) {
  constexpr int first_named = 10001;
  if (says_nothing(cell)) return 1;
  const TolerantNumber seen = tolerant_number(cell, '.');
  const bool whole = seen.is_number() && seen.unit.empty() && seen.value >= 0.0 &&
                     seen.value < first_named && seen.value == std::floor(seen.value);
  if (whole) return static_cast<int>(seen.value);
  const int next = first_named + static_cast<int>(named_.size());
  return named_.emplace(folded(trimmed(cell)), next).first->second;
}

Dates::Dates(const TolerantTable& table, std::optional<std::size_t> column,
             std::optional<DateOrder> chosen, std::vector<std::string>& decisions) {
  if (!column) return;
  DateOrders orders;
  std::vector<WrittenDate> dates;  // each once
  const TolerantRow* doubtful = nullptr;
  for (const TolerantRow& row : table.rows) {
    const std::optional<Stamp> stamp = parse_stamp(row.text(*column));
    if (!stamp || !stamp->date || tells_itself(*stamp->date)) continue;
    orders.see(*stamp->date);
    if (doubtful == nullptr) doubtful = &row;
    if (std::find(dates.begin(), dates.end(), *stamp->date) == dates.end() && dates.size() < 2) {
      dates.push_back(*stamp->date);
    }
  }
  order_ = chosen.value_or(orders.only().value_or(DateOrder::day_first));
  if (dates.empty() || chosen) return;
  // A single date only names a state: its order makes no difference.
  if (orders.either() && dates.size() > 1) {
    throw InputError(Problem{
        Code::conflict,
        fmt::format("the date '{}' can be read day first or month first, and no other tells",
                    shown_cell(doubtful->text(*column))),
        "Say which with --dates day-first or --dates month-first.", table.at(*doubtful, *column)});
  }
  decisions.push_back(fmt::format("Dates are read {}.", word(order_)));
}

double Dates::day(std::string_view cell) const {
  const std::optional<Stamp> stamp = parse_stamp(cell);
  if (!stamp || !stamp->date) return 0.0;
  const WrittenDate& date = *stamp->date;
  const DateOrder own = date.digits[0] > 2 ? DateOrder::year_first : order_;
  return static_cast<double>(day_of(date, own).value_or(0));
}

}  // namespace libloop::files
