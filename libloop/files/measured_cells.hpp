// Cells of a tester's table that are no plain numbers: prices, yes and no, mountings, dates.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/evidence/measured.hpp"
#include "libloop/files/tolerant_rows.hpp"

namespace libloop::files {

// "89 EUR", "EUR 89,00", "$89"; `heading` may name the currency: "Price [EUR]".
Price price_of(std::string_view cell, std::string_view heading, char decimal);

// Nothing for what is neither; blank is `otherwise`.
std::optional<bool> yes_or_no(std::string_view cell, bool otherwise);

// A whole number stands for itself; any other mark is numbered from 10001 on, alike for alike.
class Mounts {
 public:
  int of(std::string_view cell);

 private:
  std::map<std::string, int> named_;
};

// Days of the dates of a column, all in one order. What is no date names a state of the bench and
// has no day.
class Dates {
 public:
  // Throws InputError (conflict) where day and month may be either way round and no cell tells.
  Dates(const TolerantTable& table, std::optional<std::size_t> column,
        std::optional<DateOrder> chosen, std::vector<std::string>& decisions);
  double day(std::string_view cell) const;

 private:
  DateOrder order_ = DateOrder::year_first;
};

}  // namespace libloop::files
