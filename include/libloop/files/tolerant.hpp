// How loggers and spreadsheets write their files, and what a reader decided about one.
//
// Shared by the readers of logs, of measured tables and of sound levels.
#pragma once

#include <optional>
#include <string>

namespace libloop {

enum class Encoding { utf8, utf16_le, utf16_be, windows_1252 };
enum class DateOrder { day_first, month_first, year_first };

// What the caller settles; what is left out is found out, or asked for (InputError, code
// conflict) where two readings are possible.
struct ReadingChoice {
  std::optional<Encoding> encoding;
  std::optional<char> separator;  // ',', ';', '\t'
  std::optional<char> decimal;    // '.' or ','
  std::optional<DateOrder> dates;
};

}  // namespace libloop
