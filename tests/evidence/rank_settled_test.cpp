// Points that were read before the rise stood still; all coolers are invented.
#include <doctest/doctest.h>

#include <algorithm>

#include "evidence/cooler_maker.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

TEST_CASE("a cooler with points that had not settled is marked") {
  MeasuredTable table;
  const testing::ClosedCooler steady{.title = "Invented Steady"};
  const testing::ClosedCooler hasty{.title = "Invented Hasty", .a = 0.16, .b = 0.04};
  testing::add(table, steady, {0.5, 1.0}, {100, 200}, 1);
  testing::add(table, hasty, {0.5, 1.0}, {100, 200}, 1);
  const Condition condition{.load = 150.0};
  for (const RankedCooler& row : rank(table, testing::usual_meters(), condition).rows) {
    CHECK(!row.unsettled);
  }
  int marked = 0;
  for (MeasuredPoint& point : table.points) {
    if (point.cooler == "Invented Hasty" && marked < 2) {
      point.settled = false;
      ++marked;
    }
  }
  const Ranking ranking = rank(table, testing::usual_meters(), condition);
  REQUIRE(ranking.rows.size() == 2);
  for (const RankedCooler& row : ranking.rows) {
    const bool told = std::any_of(row.notes.begin(), row.notes.end(), [](const std::string& note) {
      return note.find("2 of its points had not settled") != std::string::npos;
    });
    CHECK(row.unsettled == (row.title == "Invented Hasty"));
    CHECK(told == row.unsettled);
  }
}

}  // namespace
}  // namespace libloop
