// What every declaration must keep.
#include "libloop/part/catalogue.hpp"

#include <doctest/doctest.h>

#include <set>
#include <string>

using namespace libloop;

namespace {

std::vector<const Table*> every_table() {
  std::vector<const Table*> all = cooler_tables();
  all.insert(all.end(), bench_tables().begin(), bench_tables().end());
  all.push_back(&conditions_table());
  return all;
}

}  // namespace

TEST_CASE("every row is complete: name, unit, source, sentence") {
  for (const Table* table : every_table()) {
    std::set<std::string> names;
    for (const Row& row : table->rows) {
      CAPTURE(table->kind);
      CAPTURE(row.name);
      CHECK(names.insert(row.name).second);
      CHECK_FALSE(row.meaning.empty());
      CHECK(row.meaning.back() == '.');
      if (row.type == Row::Type::quantity) CHECK_FALSE(row.source.empty());
      if (row.continuous()) CHECK_FALSE(row.unit.empty());
    }
  }
}

TEST_CASE("every range lies in order, strictly inside its bounds") {
  for (const Table* table : every_table()) {
    for (const Row& row : table->rows) {
      if (row.type != Row::Type::quantity) continue;
      CAPTURE(table->kind);
      CAPTURE(row.name);
      CHECK(row.range.typical >= row.min);
      CHECK(row.range.typical <= row.max);
      if (row.range.exact()) continue;
      CHECK(row.range.low < row.range.typical);
      CHECK(row.range.typical < row.range.high);
      CHECK(row.min < row.range.low);
      CHECK(row.range.high < row.max);
    }
  }
}

TEST_CASE("no draw leaves the bounds, 3.5 standard deviations out") {
  for (const Table* table : every_table()) {
    for (const Row& row : table->rows) {
      if (row.type != Row::Type::quantity || row.range.exact()) continue;
      CAPTURE(table->kind);
      CAPTURE(row.name);
      const Spread spread(row.range, row.transform, row.min, row.max);
      CHECK(spread.at(-3.5) >= row.min);
      CHECK(spread.at(3.5) <= row.max);
    }
  }
}
