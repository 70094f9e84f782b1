// Numbers as people and loggers write them: 1234.5  1,234.5  1.234,5  1 234,5  1'234.5  23.4 C
#pragma once

#include <string_view>

namespace libloop::files {

struct TolerantNumber {
  enum class Kind {
    none,        // blank, "N/A", "-", "nan": no reading
    number,      // `value`
    either,      // "1,234" while the decimal mark is not known
    unreadable,  // anything else
  };
  Kind kind = Kind::none;
  double value = 0.0;
  int decimals = 0;       // figures behind the decimal mark; of 1e-3 as well as can be told
  std::string_view unit;  // what stands behind the number: "C" of "23.4 C"

  bool is_number() const { return kind == Kind::number; }
};

// `decimal` is '.', ',' or 0: not known yet, then a mark that can be but one of the two is read as
// that.
TolerantNumber tolerant_number(std::string_view cell, char decimal);

// Whether a cell says that there is no reading: "", "-", "--", "N/A", "#N/A", "nan", "OL" and the
// like.
bool says_nothing(std::string_view cell);

// Which decimal mark a cell shows: '.' or ','; 0 when it is no number or has no mark; '?' when it
// may be either ("1,234").
char decimal_shown(std::string_view cell);

}  // namespace libloop::files
