#include "libloop/report/table.hpp"

#include <doctest/doctest.h>

#include "libloop/base/text.hpp"

namespace libloop::report {
namespace {

TEST_CASE("columns line up, heads stand on one foot, no line has trailing blanks") {
  TextTable table;
  table.column("name", "", TextTable::Align::left);
  table.column("coolant\nrise", "K");
  table.row({"µ", "1.5"});
  table.row({"longer", "12"});
  table.row({"short"});
  CHECK(table.text() ==
        "          coolant\n"
        "             rise\n"
        "  name        [K]\n"
        "  µ           1.5\n"
        "  longer       12\n"
        "  short\n");
  CHECK(table.width() == 17);
}

TEST_CASE("paragraphs keep to the page and never part a number from its unit") {
  std::string words;
  for (int i = 0; i < 40; ++i) words += "about 12 % of ";
  const std::string out = paragraph("  - ", words);
  for (const std::string& line : text::split(out, '\n')) {
    CHECK(text::width(line) <= page_width);
    CHECK(line.rfind("    %", 0) == std::string::npos);
  }
  CHECK(out.rfind("  - about 12 % of", 0) == 0);
  CHECK(out.back() == '\n');
}

TEST_CASE("a word longer than the page stays whole") {
  const std::string word(150, 'x');
  CHECK(paragraph("a ", word) == "a " + word + "\n");
}

TEST_CASE("cells of a CSV file are quoted where they must be (RFC 4180)") {
  CHECK(csv_line({"plain", "a,b", "say \"so\"", "", "two\nlines"}) ==
        "plain,\"a,b\",\"say \"\"so\"\"\",,\"two\nlines\"\n");
}

}  // namespace
}  // namespace libloop::report
