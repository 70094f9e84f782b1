#include "libloop/base/text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace libloop::text {
namespace {

TEST_CASE("near misses are found, far ones are not") {
  const std::vector<std::string> keys = {"fin_density", "fin_height", "class", "x"};
  CHECK(nearest("fin_densty", keys) == "fin_density");
  CHECK(nearest("fin_dnesity", keys) == "fin_density");  // neighbours swapped
  CHECK(nearest("FIN_HEIGHT", keys) == "fin_height");    // case does not count
  CHECK(nearest("clas", keys) == "class");
  CHECK(nearest("y", keys) == "x");
  CHECK_FALSE(nearest("weight_of_it", keys));
  CHECK_FALSE(nearest("", keys));
  CHECK_FALSE(nearest(std::string(100, 'a'), keys));
  CHECK(did_you_mean("fin_hieght", keys) == "Did you mean 'fin_height'?");
  CHECK(did_you_mean("colour", keys).empty());
}

TEST_CASE("width counts characters, not bytes") {
  CHECK(width("30 µm") == 5);
  CHECK(width("") == 0);
  CHECK(width("25 °C") == 5);
}

TEST_CASE("cut keeps characters whole") {
  CHECK(cut("abc", 5) == "abc");
  CHECK(cut("abc", 2) == "ab");
  CHECK(cut("aµb", 2) == "a");
  CHECK(cut("aµb", 3) == "aµ");
  CHECK(cut("µ", 0).empty());
}

TEST_CASE("bytes that are no text are found") {
  CHECK_FALSE(first_bad_byte("plain\ttext\r\nwith µ, ° and €"));
  CHECK(first_bad_byte(std::string_view("a\0b", 3)) == 1);
  CHECK(first_bad_byte("ab\x1B[31m") == 2);
  CHECK(first_bad_byte("\x7F") == 0);
  CHECK(first_bad_byte("a\xC3") == 1);             // cut short
  CHECK(first_bad_byte("\xC0\xAF") == 0);          // a longer form than needed
  CHECK(first_bad_byte("\xED\xA0\x80") == 0);      // a surrogate
  CHECK(first_bad_byte("\xF4\x90\x80\x80") == 0);  // beyond U+10FFFF
  CHECK(first_bad_byte("\x80") == 0);              // a continuation alone
}

TEST_CASE("numbers for people") {
  CHECK(number(0.0) == "0");
  CHECK(number(12.0) == "12");
  CHECK(number(0.25) == "0.25");
  CHECK(number(3.14159) == "3.142");
  CHECK(number(-3.14159, 2) == "-3.1");
  CHECK(number(0.99999) == "1");
  CHECK(number(123456.0) == "123456");
  CHECK(number(0.000123456) == "0.0001235");
  CHECK(number(1.5e-5) == "1.5e-05");
  CHECK(number(2.5e7) == "2.5e+07");
  CHECK(number(std::numeric_limits<double>::infinity()) == "inf");
  CHECK(number(std::nan("")) == "nan");
}

TEST_CASE("whole texts are parsed as numbers, or nothing") {
  CHECK(parse_number("12") == 12.0);
  CHECK(parse_number("+1.5e3") == 1500.0);
  CHECK(parse_number("-.5") == -0.5);
  for (const char* wrong : {"", "12 ", "1,5", "0x10", "nan", "inf", "1e999", "+-5", "--5", "e5"}) {
    CAPTURE(wrong);
    CHECK_FALSE(parse_number(wrong));
  }
}

TEST_CASE("pieces, margins and lists") {
  CHECK(split("a,,b", ',') == std::vector<std::string>{"a", "", "b"});
  CHECK(split("", ',') == std::vector<std::string>{""});
  CHECK(trim(" \t a b\r\n") == "a b");
  CHECK(trim("  ").empty());
  CHECK(list({}).empty());
  CHECK(list({"a"}) == "a");
  CHECK(list({"a", "b", "c"}) == "a, b and c");
  CHECK(list({"a", "b"}, "or") == "a or b");
}

}  // namespace
}  // namespace libloop::text
