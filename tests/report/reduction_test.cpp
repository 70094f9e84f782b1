#include "libloop/report/reduction.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/files/read_measured.hpp"
#include "libloop/report/reduction_words.hpp"
#include "libloop/report/table.hpp"
#include "support/published.hpp"
#include "support/told.hpp"

namespace libloop::report {
namespace {

using testing::has, testing::joined, testing::check_width;

using Json = nlohmann::json;

constexpr double zero = 273.15, rpm = 1.0 / 60.0;

ReducedPoint invented_point(double load, double rise) {
  ReducedPoint point;
  point.start = 600.0;
  point.end = 840.0;
  point.state.load = load;
  point.state.fan_share = 0.6;
  point.state.fan_speed = 1050 * rpm;
  point.state.coolant_rise = 12.5;
  point.ambient = zero + 22.5;
  point.chip = point.ambient + rise;
  point.rise = rise;
  point.budget = {{"scatter of the rise", 0.05, 20.0, Shared::no},
                  {"rounding", 0.03, 0.0, Shared::no},
                  {"chip reading", 0.58, 0.0, Shared::bench},
                  {"ambient reading", 0.29, 0.0, Shared::bench}};
  point.u = combined(point.budget);
  point.settled = true;
  point.creep = 0.02 / 60.0;
  return point;
}

ReducedLog invented() {
  ReducedLog one;
  one.log.file = "data/monday.csv";
  one.log.time = {0.0, 1800.0};
  one.log.rows_read = 1801;
  one.log.left_out = {{2, "time stands still"}};
  one.log.decisions = {"Numbers have a decimal comma."};
  one.log.began = 1769853600.0 - 600.0;  // 2026-01-31 10:00 at the window's start
  one.reduction.steps = {{0, 1, ""}, {1, 2, "load from 90 to 180 W"}};
  one.reduction.points = {invented_point(90.0, 20.25), invented_point(180.0, 41.5)};
  one.reduction.points[1].step = 1;
  one.reduction.left_out = {{1, "shorter than 60 s"}};
  one.reduction.notes = {"the ambient moved by 0.4 K"};
  return one;
}

TEST_CASE("the text opens with the answer") {
  const std::vector<ReducedLog> logs = {invented()};
  const std::string all = text(logs);
  const std::string flat = joined(all);
  CHECK(all.rfind("2 steady points in monday.csv: the hottest, at 180 W and fans at 60 %, 41.5 +- "
                  "1.3 K (95 %) over",
                  0) == 0);
  for (const char* part :
       {"\nPoints\n", "10:00 to 14:00", "\nWhat the doubt of each rise",
        "chip reading 0.58 K (79 %)", "without a point: 1 step, shorter than 60 s.",
        "the ambient moved by 0.4 K.", "\nHow the file was read\n", "1801 rows.",
        "Numbers have a decimal comma.", "left out: 2 rows or cells, time stands still."}) {
    CAPTURE(part);
    CHECK((has(all, part) || has(flat, part)));
  }
  // The three largest, no more.
  CHECK(!has(flat, "rounding 0.03 K"));
  CHECK(!has(all, "CAUTION"));
  CHECK(!has(all, "nan"));
  check_width(all);
}

TEST_CASE("points that are not steady or not held are told as what they are") {
  std::vector<ReducedLog> logs = {invented()};
  std::vector<ReducedPoint>& points = logs[0].reduction.points;
  points[0].settled = false;
  points[1].held = false;
  points[1].throttled = true;
  std::string flat = joined(text(logs));
  CHECK(has(flat,
            "2 points in monday.csv, 1 of them steady: the hottest, at 180 W and fans at 60 "
            "%, at least 41.5 K over ambient."));
  CHECK(has(flat, "CAUTION Point 2 (180 W and fans at 60 %): the power sagged"));
  CHECK(has(flat, "The rise is a lower bound. Do not run this load unattended"));
  CHECK(has(flat, ">=41.5"));
  points[1].settled = false;
  CHECK(has(joined(text(logs)), "2 points in monday.csv, none of them steady"));
  points.clear();
  CHECK(text(logs).rfind("No point in monday.csv: ", 0) == 0);
  CHECK(Json::parse(json(logs))["points"].empty());
  CHECK_THROWS_AS(text({}), InputError);
  CHECK_THROWS_AS(json({}), InputError);
  CHECK_THROWS_AS(csv({}), InputError);
}

TEST_CASE("a table with every column keeps to the page") {
  std::vector<ReducedLog> logs = {invented()};
  for (ReducedPoint& point : logs[0].reduction.points) {
    point.start = 60.0 * 1234;
    point.end = 60.0 * 1240;
    MeasuredState& state = point.state;
    state.pump_share = 0.8;
    state.pump_speed = 2250 * rpm;
    state.flow = 1.234 / 60000.0;
    state.sound = 33.3;
  }
  const std::string all = text(logs);
  check_width(all);
  CHECK(has(all, "coolant"));
  CHECK(!has(all, "L/min"));
}

TEST_CASE("heat balances and joined levels have their columns") {
  std::vector<ReducedLog> logs = {invented()};
  std::vector<ReducedPoint>& points = logs[0].reduction.points;
  points[0].balance = HeatBalance{90.0, 1.6, 97.0, 8.0, true, "coolant warming"};
  Level level;
  level.level = 28.0;
  level.bound = true;
  level.notes = {"at the meter's floor"};
  points[0].level = level;
  points[1].state.sound = 33.25;
  const std::string all = text(logs);
  CHECK(has(all, "\nHeat balance"));
  CHECK(has(all, "coolant warming"));
  CHECK(has(all, "<28.0"));
  CHECK(has(all, "point 1, noise: at the meter's floor."));
  CHECK(has(all, "33.2"));
  check_width(all);
  const Json first = Json::parse(json(logs))["points"][0];
  CHECK(first["heat_balance"]["carried_W"] == 97.0);
  CHECK(first["noise"]["bound"] == true);
}

TEST_CASE("the JSON has every key, units in their names") {
  const std::vector<ReducedLog> logs = {invented(), invented()};
  const Json all = Json::parse(json(logs));
  CHECK(all["format"] == 1);
  REQUIRE(all["points"].size() == 4);
  const Json& point = all["points"][3];
  CHECK(point["number"] == 4);
  CHECK(point["file"] == "data/monday.csv");
  CHECK(point["step"] == 2);
  CHECK(point["start_s"] == 600.0);
  CHECK(point["end_s"] == 840.0);
  CHECK(point["load_W"] == 180.0);
  CHECK(point["preset_W"].is_null());
  CHECK(point["fan_fraction"] == 0.6);
  CHECK(point["fan_speed_rpm"] == 1050.0);
  CHECK(point["ambient_C"] == 22.5);
  CHECK(point["rise_K"] == 41.5);
  CHECK(point["u_own_K"].get<double>() == doctest::Approx(std::hypot(0.05, 0.03)));
  CHECK(point["u_K"].get<double>() ==
        doctest::Approx(std::sqrt(0.0025 + 0.0009 + 0.3364 + 0.0841)));
  CHECK(point["expanded_95_K"].get<double>() / point["u_K"].get<double>() ==
        doctest::Approx(1.96).epsilon(0.001));
  CHECK(point["creep_K_per_min"].get<double>() == doctest::Approx(0.02));
  CHECK(point["settled"] == true);
  CHECK(point["held"] == true);
  CHECK(point["heat_balance"].is_null());
  REQUIRE(point["budget"].size() == 4);
  CHECK(point["budget"][0]["freedom"] == 20.0);
  CHECK(point["budget"][1]["freedom"].is_null());
  CHECK(point["budget"][2]["belongs_to"] == "bench");
  CHECK(all["left_out"].size() == 4);
  CHECK(all["left_out"][0]["what"] == "rows");
  CHECK(all["left_out"][3]["what"] == "steps");
  CHECK(all["decisions"][0]["text"] == "Numbers have a decimal comma.");
  CHECK(all["logs"][0]["rows_read"] == 1801);
}

TEST_CASE("a throttled point counts for the load it was asked for") {
  std::vector<ReducedLog> logs = {invented()};
  ReducedPoint& point = logs[0].reduction.points[1];
  point.held = false;
  point.throttled = true;
  point.settled = false;
  point.state.load = 171.0;
  point.state.preset = 180.0;
  const MeasuredTable table = parse_measured(csv(logs), "measured.csv");
  REQUIRE(table.points.size() == 2);
  CHECK(table.points[1].load == 180.0);
  CHECK(!table.points[1].settled);
  CHECK(table.points[0].settled == logs[0].reduction.points[0].settled);
  // Held, what was measured counts.
  point.throttled = false;
  CHECK(parse_measured(csv(logs), "measured.csv").points[1].load == 171.0);
}

TEST_CASE("the CSV is a measured table that reads back") {
  std::vector<ReducedLog> logs = {invented()};
  std::vector<ReducedPoint>& points = logs[0].reduction.points;
  points[1].held = false;
  points[1].state.fan_share.reset();
  Level level;
  level.level = 28.5;
  level.bound = true;
  points[1].level = level;
  const std::string title = "Invented \"slim\", 240 | <script>";
  const MeasuredTable table = parse_measured(csv(logs, {title, 3}), "measured.csv");
  REQUIRE(table.points.size() == 2);
  CHECK(table.left_out.empty());
  for (std::size_t i = 0; i < 2; ++i) {
    const MeasuredPoint& read = table.points[i];
    CHECK(read.cooler == title);
    CHECK(read.load == *points[i].state.load);
    CHECK(read.rise == doctest::Approx(points[i].rise).epsilon(1e-11));
    CHECK(*read.u == doctest::Approx(std::hypot(0.05, 0.03)).epsilon(1e-11));
    CHECK(*read.ambient == doctest::Approx(zero + 22.5).epsilon(1e-11));
    CHECK(read.mount == 3);
    CHECK(read.held == points[i].held);
    CHECK(read.date == "2026-01-31");
    CHECK(*read.fan_speed == doctest::Approx(1050 * rpm).epsilon(1e-11));
    CHECK(read.fan_share.has_value() == points[i].state.fan_share.has_value());
  }
  CHECK(table.points[1].level_bound);
  CHECK(*table.points[1].level == 28.5);
  CHECK(!table.points[0].level);
  // Without a title the file's name stands for it.
  CHECK(parse_measured(csv(logs), "measured.csv").points[0].cooler == "monday");
}

TEST_CASE("what cannot be told in numbers is null or empty, never nan") {
  std::vector<ReducedLog> logs = {invented()};
  ReducedPoint& point = logs[0].reduction.points[1];
  point.u_creep = std::numeric_limits<double>::quiet_NaN();
  point.budget.clear();
  point.u = 0.0;
  CHECK(!has(json(logs), "nan"));
  CHECK(!has(csv(logs), "nan"));
  CHECK(!has(text(logs), "nan"));
}

TEST_CASE("control characters of a file never reach a terminal") {
  std::vector<ReducedLog> logs = {invented()};
  logs[0].log.file = "a\x1b[31mred\nline.csv";
  logs[0].log.decisions = {"Column '\x1b[2J\xC2\x9B' is not used"};
  const std::string all = text(logs);
  CHECK(!has(all, "\x1b"));
  CHECK(!has(all, "\xC2\x9B"));
}

TEST_CASE("the expanded uncertainty is Student's t times the standard one") {
  const std::vector<Contribution> five = {{"scatter", 1.0, 5.0, Shared::no}};
  testing::published("expanded uncertainty, 95 %, 5 degrees of freedom",
                     "JCGM 100:2008 (GUM), table G.2, from memory", 2.57, expanded(five, 1.0),
                     0.002);
  const std::vector<Contribution> known = {{"meter", 1.0, 0.0, Shared::bench}};
  testing::published("expanded uncertainty, 95 %, all taken as known",
                     "JCGM 100:2008 (GUM), table G.2, from memory", 1.960, expanded(known, 1.0),
                     0.001);
}

}  // namespace
}  // namespace libloop::report
