#include "libloop/files/tolerant_number.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace libloop::files {
namespace {

using Kind = TolerantNumber::Kind;

struct Case {
  std::string cell;
  char decimal;
  double value;
  int decimals;
  std::string unit;
};

TEST_CASE("numbers in many hands") {
  const std::vector<Case> cases = {
      {"12", '.', 12, 0, ""},
      {" 12.50 ", '.', 12.5, 2, ""},
      {"-0.5", '.', -0.5, 1, ""},
      {"+7", '.', 7, 0, ""},
      {".5", '.', 0.5, 1, ""},
      {"5.", '.', 5, 0, ""},
      {"1,234.5", '.', 1234.5, 1, ""},
      {"1,234,567", '.', 1234567, 0, ""},
      {"1.234,5", ',', 1234.5, 1, ""},
      {"1.234", ',', 1234, 0, ""},
      {"1.234", '.', 1.234, 3, ""},
      {"1'234.5", '.', 1234.5, 1, ""},
      {"1\xE2\x80\x99"
       "234",
       '.', 1234, 0, ""},
      {"1 234,5", ',', 1234.5, 1, ""},
      {"12 345 678", '.', 12345678, 0, ""},
      {"1\xC2\xA0"
       "234",
       '.', 1234, 0, ""},
      {"\xE2\x88\x92"
       "3,5",
       ',', -3.5, 1, ""},
      {"1.5e3", '.', 1500, 6, ""},
      {"1,5E-3", ',', 0.0015, 6, ""},
      {"23.4 C", '.', 23.4, 1, "C"},
      {"23,4\xC2\xB0"
       "C",
       ',', 23.4, 1,
       "\xC2\xB0"
       "C"},
      {"1 200 1/min", '.', 1200, 0, "1/min"},
      {"80%", '.', 80, 0, "%"},
      {"0,125", '\0', 0.125, 3, ""},
      {"12,5", '\0', 12.5, 1, ""},
      {"1,234.5", '\0', 1234.5, 1, ""},
      {"1234,567", '\0', 1234.567, 3, ""},
  };
  for (const Case& one : cases) {
    CAPTURE(one.cell);
    const TolerantNumber number = tolerant_number(one.cell, one.decimal);
    CHECK(number.kind == Kind::number);
    CHECK(number.value == doctest::Approx(one.value).epsilon(1e-12));
    CHECK(number.decimals == one.decimals);
    CHECK(number.unit == one.unit);
  }
}

TEST_CASE("what is no number") {
  for (const char* cell : {"12:30", "2024-03-01", "1.2.3", "1,23,456", "12,34.5,6", "abc", "0x12",
                           "1-2", "12/3", "--5", "1 23", "1e999", ".", ",", "inf", "- 5"}) {
    CAPTURE(cell);
    CHECK(tolerant_number(cell, '.').kind == Kind::unreadable);
  }
  CHECK(tolerant_number("1,23", '.').kind == Kind::unreadable);
  CHECK(tolerant_number("1.23", ',').kind == Kind::unreadable);
  CHECK(tolerant_number(std::string(500, '1'), '.').kind == Kind::unreadable);
}

TEST_CASE("no reading, and either reading") {
  for (const char* cell : {"", " ", "-", "--", "N/A", "n/a", "#N/A", "NaN", "null", "OL", "#NV"}) {
    CAPTURE(cell);
    CHECK(tolerant_number(cell, '.').kind == Kind::none);
  }
  for (const char* cell : {"1,234", "1.234", "-12,345", "999.999"}) {
    CAPTURE(cell);
    CHECK(tolerant_number(cell, '\0').kind == Kind::either);
    CHECK(decimal_shown(cell) == '?');
  }
}

TEST_CASE("the decimal mark that a cell shows") {
  CHECK(decimal_shown("12.5") == '.');
  CHECK(decimal_shown("12,5") == ',');
  CHECK(decimal_shown("1.234.567") == ',');
  CHECK(decimal_shown("1,234,567") == '.');
  CHECK(decimal_shown("1 234,567") == ',');
  CHECK(decimal_shown("0.123") == '.');
  CHECK(decimal_shown("12") == '\0');
  CHECK(decimal_shown("12.03.2024") == '\0');
  CHECK(decimal_shown("text") == '\0');
}

}  // namespace
}  // namespace libloop::files
