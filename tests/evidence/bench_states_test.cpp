#include "libloop/evidence/bench_states.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "evidence/cooler_maker.hpp"

namespace libloop {
namespace {

using testing::add;
using testing::ClosedCooler;
using testing::usual_meters;

const ClosedCooler reference{.title = "Invented Reference"};
const ClosedCooler early{.title = "Invented Early", .a = 0.15};
const ClosedCooler late{.title = "Invented Late", .a = 0.15};

// A cooler's points on one day, with all rises of that day by `factor`.
void run(MeasuredTable& table, const ClosedCooler& cooler, double day, double factor) {
  const std::size_t before = table.points.size();
  add(table, cooler, {0.4, 0.7, 1.0}, {100, 180});
  for (std::size_t i = before; i < table.points.size(); ++i) {
    table.points[i].rise *= factor;
    table.points[i].day = day;
    table.points[i].date = "2024-03-" + std::to_string(int(day) - 19782);
  }
}

MeasuredTable drifted() {
  MeasuredTable table;
  run(table, late, 19812, 1.04);  // out of order on purpose
  run(table, reference, 19783, 1.0);
  run(table, early, 19783, 1.0);
  run(table, reference, 19812, 1.04);
  return table;
}

const RankedCooler& row(const Ranking& ranking, const std::string& title) {
  for (const RankedCooler& found : ranking.rows) {
    if (found.title == title) return found;
  }
  FAIL("no row " << title);
  return ranking.rows.front();
}

bool says(const std::vector<std::string>& notes, const std::string& words) {
  return std::any_of(notes.begin(), notes.end(), [&](const std::string& note) {
    return note.find(words) != std::string::npos;
  });
}

}  // namespace

TEST_CASE("drift of the bench is taken out by the reference's runs") {
  const Ranking ranking =
      rank(drifted(), usual_meters(), {.load = 180}, {.reference = "Invented Reference"});
  REQUIRE(ranking.states.size() == 2);
  CHECK(ranking.states[0].factor == 1.0);
  CHECK(ranking.states[0].u == 0.0);
  CHECK(ranking.states[0].date == "2024-03-1");
  CHECK(ranking.states[1].factor == doctest::Approx(1.04).epsilon(1e-12));
  CHECK(ranking.states[1].points == 6);
  // Mounted anew: 2 % twice; the points add their 0.2 K over six conditions.
  CHECK(ranking.states[1].u > 0.02 * std::sqrt(2.0) * 1.04);
  CHECK(ranking.states[1].u < 0.02 * std::sqrt(2.0) * 1.04 * 1.05);
  const RankedCooler &a = row(ranking, "Invented Early"), &b = row(ranking, "Invented Late");
  CHECK(a.value.value == doctest::Approx(b.value.value).epsilon(1e-12));
  CHECK(a.group == b.group);
  CHECK(b.value.u_own > a.value.u_own);
  CHECK(row(ranking, "Invented Reference").points == 6);
  CHECK(says(row(ranking, "Invented Reference").notes, "tie the dates"));
  CHECK(says(ranking.notes, "within twice its own doubt"));  // 4 % against 2.9 %
}

TEST_CASE("a state's doubt cancels between coolers of one date, not of two") {
  MeasuredTable table = drifted();
  ClosedCooler later = late;
  later.title = "Invented Later";
  run(table, later, 19812, 1.04);
  const Ranking ranking =
      rank(table, usual_meters(), {.load = 180}, {.reference = "Invented Reference"});
  double same = 0.0, other = 0.0;
  for (const Tie& tie : ranking.ties) {
    if (tie.better == "Invented Late" && tie.worse == "Invented Later") same = tie.u;
    if (tie.better == "Invented Early" && tie.worse == "Invented Late") other = tie.u;
  }
  REQUIRE(same > 0.0);
  REQUIRE(other > 0.0);
  CHECK(other > 1.2 * same);
}

TEST_CASE("dates without a run of the reference lie between those with one") {
  MeasuredTable table = drifted();
  ClosedCooler middle = early;
  middle.title = "Invented Middle";
  run(table, middle, 19783 + 14.5, 1.02);  // half way; a day is its floor
  const Ranking ranking =
      rank(table, usual_meters(), {.load = 180}, {.reference = "Invented Reference"});
  REQUIRE(ranking.states.size() == 3);
  CHECK(ranking.states[1].points == 0);
  CHECK(ranking.states[1].factor == doctest::Approx(1.0 + 0.04 * 14 / 29));
  CHECK(ranking.states[1].u > 0.02);
}

TEST_CASE("dates after the reference's last run take the bench as it was then, and that is told") {
  MeasuredTable table = drifted();
  ClosedCooler after = early;
  after.title = "Invented After";
  run(table, after, 19820, 1.1);
  const Ranking ranking =
      rank(table, usual_meters(), {.load = 180}, {.reference = "Invented Reference"});
  CHECK(says(ranking.notes, "as it was then: 2024-03-38"));
  CHECK(ranking.states[2].factor == ranking.states[1].factor);
  CHECK(ranking.states[2].u == ranking.states[1].u);
}

TEST_CASE("several dates without a reference are told") {
  const Ranking ranking = rank(drifted(), usual_meters(), {.load = 180});
  CHECK(says(ranking.notes, "no reference cooler ties them"));
  CHECK(ranking.states.empty());
}

TEST_CASE("a reference without a dated run is told") {
  MeasuredTable table;
  add(table, reference);
  add(table, early);
  const Ranking ranking =
      rank(table, usual_meters(), {.load = 180}, {.reference = "Invented Reference"});
  CHECK(says(ranking.notes, "No dated run"));
  CHECK(ranking.states.empty());
  CHECK(ranking.rows.size() == 2);
}

TEST_CASE("states named without a day are kept apart by their names") {
  MeasuredTable table = drifted();
  for (MeasuredPoint& point : table.points) {
    point.date = point.day > 19800 ? "B, new paste" : "A";
    point.day = 0.0;
  }
  const Ranking ranking =
      rank(table, usual_meters(), {.load = 180}, {.reference = "Invented Reference"});
  REQUIRE(ranking.states.size() == 2);
  CHECK(ranking.states[1].date == "B, new paste");
  CHECK(ranking.states[1].factor == doctest::Approx(1.04));
}

}  // namespace libloop
