#include "libloop/report/quantities.hpp"

#include <doctest/doctest.h>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/table.hpp"

namespace libloop::report {
namespace {

TEST_CASE("a part is found by name and brings what lies inside it") {
  CHECK(tables_named("").size() == 21);
  CHECK(tables_named("radiator").size() == 1);
  CHECK(tables_named("chip").size() == 2);
  CHECK(tables_named("conditions").size() == 1);
  try {
    tables_named("radiater");
    FAIL("accepted");
  } catch (const InputError& error) {
    CHECK(error.problems().front().suggestion == "Did you mean 'radiator'?");
  }
}

TEST_CASE("every row is in every form") {
  const std::vector<const Table*> tables = tables_named("");
  const std::string words = quantities_text(tables), object = quantities_json(tables);
  const std::string rows = quantities_csv(tables), page = quantities_markdown(tables);
  for (const Table* table : tables) {
    for (const Row& row : table->rows) {
      CAPTURE(table->kind + "." + row.name);
      CHECK(words.find("\n  " + row.name + " ") != std::string::npos);
      CHECK(object.find("\"name\": \"" + row.name + "\"") != std::string::npos);
      CHECK(rows.find("\n" + table->kind + "," + row.name + ",") != std::string::npos);
      CHECK(page.find("| `" + row.name + "` |") != std::string::npos);
    }
  }
  for (const std::string& line : text::split(words, '\n')) {
    CAPTURE(line);
    CHECK(text::width(line) <= page_width);
  }
}

}  // namespace
}  // namespace libloop::report
