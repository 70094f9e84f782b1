#include "libloop/files/tolerant_rows.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace libloop::files {
namespace {

bool invented_words(std::string_view name) {
  const std::string seen = folded(name);
  return seen == "cooler" || seen == "load" || seen == "rise" || seen == "date";
}

TolerantTable read(std::string_view text, const ReadingChoice& choice = {}) {
  return tolerant_table(text, "t", choice, invented_words);
}

TEST_CASE("a table with lines before it, a row of units and a decimal comma") {
  const TolerantTable table = read(
      "\xEF\xBB\xBFInvented bench, 2nd run\r\n\r\n"
      "Cooler;Load;Rise;\r\n;W;K;\r\n\"A; \"\"slim\"\"\";180;31,5;\r\nB;1.200;40,25;\r\n");
  CHECK(table.dialect.separator == ';');
  CHECK(table.dialect.decimal == ',');
  REQUIRE(table.heading.cells.size() == 3);
  CHECK(table.units.text(1) == "W");
  REQUIRE(table.rows.size() == 2);
  CHECK(table.rows[0].text(0) == "A; \"slim\"");
  CHECK(tolerant_number(table.rows[0].text(2), ',').value == 31.5);
  CHECK(tolerant_number(table.rows[1].text(1), ',').value == 1200.0);
  CHECK(table.rows[1].line == 6);
  CHECK(table.at(table.rows[1], 2).column == 9);
}

TEST_CASE("a number that may be read in two ways asks") {
  try {
    read("Cooler;Load;Rise\nA;180;1,234\n");
    FAIL("no error");
  } catch (const InputError& error) {
    CHECK(error.code() == Code::conflict);
    CHECK(error.problems()[0].place.line == 2);
    CHECK(error.problems()[0].place.column == 7);
    CHECK(error.problems()[0].message == "'1,234' may be 1.234 or 1234");
  }
  ReadingChoice choice;
  choice.decimal = ',';
  CHECK(
      tolerant_number(read("Cooler;Load;Rise\nA;180;1,234\n", choice).rows[0].text(2), ',').value ==
      1.234);
}

TEST_CASE("two decimal marks in one file ask, at the second") {
  try {
    read("Cooler;Load;Rise\nA;180.5;30\nB;180;31,5\n");
    FAIL("no error");
  } catch (const InputError& error) {
    CHECK(error.code() == Code::conflict);
    CHECK(error.problems()[0].place.line == 3);
  }
}

TEST_CASE("a quoted heading over two lines is one cell, and lines are still counted") {
  const TolerantTable table = read("Cooler,\"Load\r\n\",Rise\r\nA,180,30\r\n");
  REQUIRE(table.heading.cells.size() == 3);
  CHECK(table.rows.at(0).line == 3);
}

TEST_CASE("an open quote takes no rows with it") {
  const TolerantTable table =
      read("Cooler,Load,Rise\n\"A,180,30\nB,180,31\nC,180,32\nD,1,1\nE,1,1\n");
  CHECK(table.rows.size() == 5);
  CHECK(table.rows[0].text(0) == "\"A");
}

TEST_CASE("a table without rows is refused") {
  for (const char* text : {"", "Cooler,Load\n", "\n\n", "\xEF\xBB\xBF"}) {
    CHECK_THROWS_AS(read(text), InputError);
  }
}

}  // namespace
}  // namespace libloop::files
