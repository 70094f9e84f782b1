#include "libloop/evidence/ranking.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "evidence/cooler_maker.hpp"
#include "libloop/base/error.hpp"

namespace libloop {
namespace {

using testing::add;
using testing::ClosedCooler;
using testing::usual_meters;

const ClosedCooler one{.title = "Invented One"};
const ClosedCooler two{.title = "Invented Two", .a = 0.16, .b = 0.04, .c = 1e-4, .k = 41, .m = 24};
const ClosedCooler three{.title = "Invented Three", .a = 0.2, .b = 0.05, .k = 36, .m = 20};

MeasuredTable trio(int mounts = 1) {
  MeasuredTable table;
  for (const ClosedCooler& cooler : {two, one, three}) {
    add(table, cooler, {0.3, 0.5, 0.7, 1.0}, {100, 180, 250}, mounts);
  }
  return table;
}

const RankedCooler& row(const Ranking& ranking, const std::string& title) {
  for (const RankedCooler& found : ranking.rows) {
    if (found.title == title) return found;
  }
  FAIL("no row " << title);
  return ranking.rows.front();
}

bool close(double got, double expected) {
  return std::abs(got - expected) <= 1e-12 * std::abs(expected);
}

bool says(const std::vector<std::string>& notes, const std::string& words) {
  for (const std::string& note : notes) {
    if (note.find(words) != std::string::npos) return true;
  }
  return false;
}

Code code_of(const MeasuredTable& table, const Condition& condition,
             const RankOptions& options = {}) {
  try {
    rank(table, usual_meters(), condition, options);
  } catch (const InputError& error) {
    return error.code();
  }
  FAIL("nothing was refused");
  return Code::call;
}

}  // namespace

TEST_CASE("equal load, fans at their fastest") {
  const Ranking ranking = rank(trio(), usual_meters(), {.load = 180});
  REQUIRE(ranking.rows.size() == 3);
  CHECK(ranking.rows[0].title == "Invented One");
  CHECK(ranking.rows[2].title == "Invented Three");
  for (const ClosedCooler& cooler : {one, two, three}) {
    const RankedCooler& found = row(ranking, cooler.title);
    CHECK(close(found.value.value, cooler.rise(1.0, 180)));
    CHECK(close(found.level->value, cooler.level(1.0)));
    CHECK(*found.fan_share == 1.0);
    CHECK_FALSE(found.fan_speed);
    CHECK(found.points == 12);
    CHECK(found.mounts == 1);
    CHECK_FALSE(found.value.bound);
    CHECK_FALSE(found.value.beyond);
  }
  CHECK(ranking.left_out.empty());
  CHECK(ranking.ties.size() == 2);
  CHECK(ranking.mount_freedom == 0.0);
  CHECK(ranking.mount_scatter == doctest::Approx(0.02));
}

TEST_CASE("equal noise is solved exactly") {
  const Ranking ranking = rank(trio(), usual_meters(), {.load = 150, .level = 30.0});
  REQUIRE(ranking.rows.size() == 3);
  for (const ClosedCooler& cooler : {one, two, three}) {
    const double share = cooler.share_at_level(30.0);
    const RankedCooler& found = row(ranking, cooler.title);
    CHECK(close(*found.fan_share, share));
    CHECK(close(found.value.value, cooler.rise(share, 150)));
    CHECK(found.level->value == 30.0);
  }
}

TEST_CASE("equal rise is solved exactly and ranks by noise") {
  const Ranking ranking = rank(trio(), usual_meters(), {.load = 180, .rise = 45.0});
  REQUIRE(ranking.rows.size() == 3);
  for (const ClosedCooler& cooler : {one, two, three}) {
    const double share = cooler.share_at_rise(45.0, 180);
    const RankedCooler& found = row(ranking, cooler.title);
    CHECK(close(*found.fan_share, share));
    CHECK(close(found.value.value, cooler.level(share)));
    CHECK(found.rise->value == 45.0);
    CHECK(found.value.u_own > 0.5);
  }
  CHECK(ranking.rows[0].value.value < ranking.rows[1].value.value);
}

TEST_CASE("doubts by hand: points, mounting, bench") {
  MeasuredTable table;
  add(table, one, {0.5, 1.0}, {180}, 1);
  const RankedCooler found =
      rank(table, usual_meters(), {.load = 180, .fan_share = 1.0}).rows.front();
  const double rise = one.rise(1.0, 180);
  CHECK(found.value.u_own == doctest::Approx(std::hypot(0.2, 0.02 * rise)).epsilon(1e-6));
  const double bench = std::sqrt((1.0 + 0.25 + std::pow(0.03 * rise, 2)) / 3.0);
  CHECK(found.value.u_bench == doctest::Approx(bench).epsilon(1e-9));
  CHECK(found.level->u_own == doctest::Approx(0.5));
  CHECK(found.level->u_bench == doctest::Approx(1.0 / std::sqrt(3.0)));
  // Half way between, in 1/n: half of each point's doubt, and two points do not tell the bend.
  const double share = 2.0 / 3.0;
  const RankedCooler middle =
      rank(table, usual_meters(), {.load = 180, .fan_share = share}).rows.front();
  const double line = one.rise(0.5, 180) + (one.rise(1.0, 180) - one.rise(0.5, 180)) / 3.0;
  const double bend = 0.5 * std::abs(one.rise(share, 180) - line);
  CHECK(middle.value.u_own ==
        doctest::Approx(
            std::sqrt(0.5 * 0.04 + std::pow(0.02 * one.rise(share, 180), 2) + bend * bend))
            .epsilon(1e-6));
}

TEST_CASE("equal noise carries the level's doubt by the slope of rise against noise") {
  MeasuredTable table;
  add(table, one, {0.4, 0.7, 1.0}, {180});
  for (MeasuredPoint& point : table.points) point.u = 1e-6;
  Instruments<double> meters = usual_meters();
  meters.remount.value = 1e-9;
  meters.chip.value = meters.ambient.value = meters.load.value = 1e-9;
  const double share = one.share_at_level(33.0);
  const RankedCooler found = rank(table, meters, {.load = 180, .level = 33.0}).rows.front();
  const double slope = 180 * one.b / share / one.m;  // K/dB
  // 0.5 dB of its own, and what the straight line along ln n leaves open
  CHECK(found.value.u_own > 0.5 * slope * 0.97);
  CHECK(found.value.u_own < 0.5 * slope * 1.3);
  CHECK(found.value.u_bench == doctest::Approx(slope / std::sqrt(3.0)).epsilon(0.02));
}

TEST_CASE("repeated mountings: scatter pooled with its freedom, and averaged") {
  MeasuredTable table;
  for (int cooler = 0; cooler < 3; ++cooler) {
    ClosedCooler made = one;
    made.title += " " + std::to_string(cooler);
    add(table, made, {0.5, 1.0}, {100, 180}, 3);
  }
  for (MeasuredPoint& point : table.points) point.rise *= 1.0 + 0.01 * (point.mount - 2);
  const Ranking ranking = rank(table, usual_meters(), {.load = 180});
  CHECK(ranking.mount_freedom == 6.0);
  CHECK(ranking.mount_scatter == doctest::Approx(0.01).epsilon(1e-3));
  const RankedCooler& found = ranking.rows.front();
  CHECK(found.mounts == 3);
  const double rise = one.rise(1.0, 180);
  CHECK(found.value.value == doctest::Approx(rise).epsilon(1e-4));
  CHECK(found.value.u_own ==
        doctest::Approx(std::sqrt((0.04 + std::pow(0.01 * rise, 2)) / 3)).epsilon(1e-3));
  CHECK(ranking.rows[0].group == ranking.rows[2].group);
}

TEST_CASE("two mountings of one cooler do not speak against the assumed scatter") {
  MeasuredTable table;
  add(table, one, {0.5, 1.0}, {180}, 2);
  const Ranking ranking = rank(table, usual_meters(), {.load = 180});
  CHECK(ranking.mount_scatter == doctest::Approx(0.02));
  CHECK(ranking.mount_freedom == 0.0);
  CHECK(says(ranking.notes, "so few"));
}

TEST_CASE("groups, ties and mountings needed in a ranking") {
  MeasuredTable table;
  ClosedCooler near = one, far = one;
  near.title = "Invented Near";
  near.a += 0.005;  // 0.9 K at 180 W
  far.title = "Invented Far";
  far.a += 0.08;  // 14 K
  for (const ClosedCooler& cooler : {far, one, near}) add(table, cooler);
  const Ranking ranking = rank(table, usual_meters(), {.load = 180});
  CHECK(ranking.rows[0].group == 1);
  CHECK(ranking.rows[1].group == 1);
  CHECK(ranking.rows[2].group == 2);
  REQUIRE(ranking.alike.size() == 1);
  CHECK(ranking.alike[0].last == 1);
  const Tie& tie = ranking.ties[0];
  CHECK_FALSE(tie.apart);
  CHECK(tie.difference == doctest::Approx(0.9));
  REQUIRE(tie.mounts_needed);
  CHECK(*tie.mounts_needed > 5);
  CHECK(ranking.ties[1].apart);
  CHECK_FALSE(ranking.ties[1].mounts_needed);
}

TEST_CASE("prices: kelvins below the cheapest per unit above it") {
  MeasuredTable table = trio();
  table.prices = {{"Invented One", "120 EUR", 120.0, "EUR"},
                  {"Invented Three", "60 EUR", 60.0, "EUR"},
                  {"Invented Two", "90 USD", 90.0, "USD"},
                  {"Not in it", "1 EUR", 1.0, "EUR"}};
  const Ranking ranking = rank(table, usual_meters(), {.load = 180});
  const double gain = three.rise(1, 180) - one.rise(1, 180);
  CHECK(row(ranking, "Invented One").price == "120 EUR");
  CHECK(*row(ranking, "Invented One").kelvin_per_price == doctest::Approx(gain / 60.0));
  CHECK_FALSE(row(ranking, "Invented Three").kelvin_per_price);  // the cheapest
  CHECK_FALSE(row(ranking, "Invented Two").kelvin_per_price);    // another unit
  CHECK(says(ranking.notes, "several units"));
  const Ranking quiet = rank(table, usual_meters(), {.load = 180, .rise = 45.0});
  CHECK_FALSE(row(quiet, "Invented One").kelvin_per_price);
}

TEST_CASE("whoever has no value is left out with a reason") {
  MeasuredTable table = trio();
  ClosedCooler loud = one, light = one, untold = one;
  loud.title = "Invented Loud";
  loud.k = 60;
  light.title = "Invented Light";
  untold.title = "Invented Untold";
  add(table, loud);
  add(table, light, {0.5, 1.0}, {90});
  add(table, untold, {1.0}, {180});
  table.points.back().level.reset();
  const Ranking ranking = rank(table, usual_meters(), {.load = 180, .level = 30.0});
  CHECK(ranking.rows.size() + ranking.left_out.size() == 6);
  REQUIRE(ranking.left_out.size() == 3);
  CHECK(ranking.left_out[0].reason.find("Invented Loud: still") == 0);
  CHECK(ranking.left_out[1].reason.find("more than 10 % beyond its one load, 90 W") !=
        std::string::npos);
  CHECK(ranking.left_out[2].reason.find("no measured noise") != std::string::npos);
  MeasuredTable silent = trio();
  for (MeasuredPoint& point : silent.points) point.level.reset();
  const Ranking cool = rank(silent, usual_meters(), {.load = 100, .rise = 80.0});
  CHECK(cool.rows.empty());
  CHECK(cool.left_out[0].reason.find("even at its slowest") != std::string::npos);
  CHECK(cool.left_out[0].reason.find("no noise known") != std::string::npos);
}

TEST_CASE("never so hot as the rise held equal: first, at most as loud as at its slowest") {
  MeasuredTable table = trio();
  ClosedCooler cold = one, single = one;
  cold.title = "Invented Cold";
  cold.a = 0.02;  // 39.6 K at 180 W and 30 %
  single.title = "Invented Single";
  add(table, cold);
  add(table, single, {1.0}, {180});
  const Ranking ranking = rank(table, usual_meters(), {.load = 180, .rise = 48.0});
  REQUIRE(ranking.rows.size() == 5);
  CHECK(ranking.left_out.empty());
  const RankedCooler& first = ranking.rows[0];
  CHECK(first.title == "Invented Cold");
  CHECK(*first.fan_share == 0.3);
  CHECK(first.value.bound);
  CHECK(close(first.value.value, cold.level(0.3)));
  CHECK(close(first.rise->value, cold.rise(0.3, 180)));
  CHECK_FALSE(first.rise->bound);
  CHECK(first.value.u_own == doctest::Approx(0.5));  // of the level where it was measured
  CHECK(says(first.notes, "below 48 K even at its slowest measured fan speed"));
  CHECK_FALSE(says(first.notes, "the room"));
  CHECK(says(first.notes, "doubt") == false);
  // One speed tells no curve, but that it stays below.
  const RankedCooler& second = ranking.rows[1];
  CHECK(second.title == "Invented Single");
  CHECK(second.value.bound);
  CHECK(close(second.value.value, single.level(1.0)));
  CHECK_FALSE(ranking.rows[2].value.bound);
  CHECK_FALSE(ranking.ties[0].mounts_needed);
  // Of one bound the cooler first, whatever its name.
  MeasuredTable twins;
  ClosedCooler less = cold;
  less.title = "Invented A";
  less.a = 0.03;
  add(twins, less);
  add(twins, cold);
  CHECK(rank(twins, usual_meters(), {.load = 180, .rise = 60.0}).rows[0].title == cold.title);
}

TEST_CASE("never so loud as the noise held equal: ranked as it is at its fastest") {
  MeasuredTable table = trio();
  ClosedCooler quiet = one, partly = one;
  quiet.title = "Invented Quiet";
  quiet.k = 25.0;
  partly.title = "Invented Partly";
  partly.k = 25.0;
  add(table, quiet);
  add(table, partly);
  for (MeasuredPoint& point : table.points) {
    if (point.cooler == partly.title && *point.fan_share > 0.8) point.level.reset();
  }
  const Ranking ranking = rank(table, usual_meters(), {.load = 180, .level = 30.0});
  REQUIRE(ranking.rows.size() == 4);
  const RankedCooler& found = row(ranking, quiet.title);
  CHECK(*found.fan_share == 1.0);
  CHECK(close(found.value.value, quiet.rise(1.0, 180)));
  CHECK_FALSE(found.value.bound);
  CHECK(close(found.level->value, 25.0));
  CHECK(found.level->u_own == doctest::Approx(0.5));
  // As at full speed: no doubt of the level enters the rise.
  const Ranking fastest = rank(table, usual_meters(), {.load = 180, .fan_share = 1.0});
  CHECK(close(found.value.u_own, row(fastest, quiet.title).value.u_own));
  CHECK(says(found.notes, "never louder than 30 dBA"));
  // Where the noise of the fastest speed is not known it could be above.
  REQUIRE(ranking.left_out.size() == 1);
  CHECK(ranking.left_out[0].reason.find("Invented Partly: at most") == 0);
}

TEST_CASE("a curve that goes on to no rise at all is no reading") {
  MeasuredTable table = trio();
  MeasuredPoint steep = testing::point(one, 0.5, 180);
  steep.cooler = "Invented Steep";
  steep.rise = 60.0;
  table.points.push_back(steep);
  steep.fan_share = 0.55;
  steep.rise = 2.0;
  table.points.push_back(steep);
  const Ranking ranking = rank(table, usual_meters(), {.load = 180, .fan_share = 0.6});
  CHECK(ranking.rows.size() == 3);
  REQUIRE(ranking.left_out.size() == 1);
  CHECK(ranking.left_out[0].reason ==
        "Invented Steep: its curve goes on to a rise of 0 K or less at 60 %");
}

TEST_CASE("runs ended by the chip's limit stand last, as bounds") {
  MeasuredTable table = trio();
  ClosedCooler weak = one;
  weak.title = "Invented Weak";
  weak.a = 0.35;
  add(table, weak, {0.5, 1.0}, {100});
  MeasuredPoint ended = testing::point(weak, 1.0, 250);
  ended.rise = 78.0;
  ended.held = false;
  table.points.push_back(ended);
  const Ranking ranking = rank(table, usual_meters(), {.load = 250});
  REQUIRE(ranking.rows.size() == 4);
  const RankedCooler& last = ranking.rows.back();
  CHECK(last.title == "Invented Weak");
  CHECK(last.value.bound);
  CHECK(last.value.value == 78.0);
  CHECK(says(last.notes, "at least"));
  // Its bound lies above all others by far more than the doubt.
  CHECK(last.group == ranking.rows[2].group + 1);
  const Ranking lighter = rank(table, usual_meters(), {.load = 100});
  CHECK_FALSE(row(lighter, "Invented Weak").value.bound);
  CHECK(close(row(lighter, "Invented Weak").value.value, weak.rise(1.0, 100)));
}

TEST_CASE("noise that is a bound is told as one") {
  MeasuredTable table = trio();
  for (MeasuredPoint& point : table.points) {
    if (*point.fan_share < 0.6) point.level_bound = true;
  }
  const Ranking ranking = rank(table, usual_meters(), {.load = 180, .fan_share = 0.5});
  CHECK(ranking.rows[0].level->bound);
  CHECK(says(ranking.rows[0].notes, "at most"));
}

TEST_CASE("rpm and shares are joined only where a cooler tells both") {
  MeasuredTable table = trio();
  for (MeasuredPoint& point : table.points) {
    if (point.cooler == "Invented One") point.fan_speed = *point.fan_share * 30.0;
    if (point.cooler == "Invented One" && point.load == 180) point.fan_share.reset();
    if (point.cooler == "Invented Two") {
      point.fan_speed = *point.fan_share * 25.0;
      point.fan_share.reset();
    }
  }
  const Ranking by_share = rank(table, usual_meters(), {.load = 180, .fan_share = 0.6});
  CHECK(by_share.rows.size() == 2);
  CHECK(close(row(by_share, "Invented One").value.value, one.rise(0.6, 180)));
  CHECK(*row(by_share, "Invented One").fan_speed == doctest::Approx(18.0));
  REQUIRE(by_share.left_out.size() == 1);
  CHECK(by_share.left_out[0].reason ==
        "Invented Two: its points tell no fan speed as a share of rated speed, and none of them "
        "tells both");
  const Ranking by_rpm = rank(table, usual_meters(), {.load = 180, .fan_speed = 15.0});
  CHECK(close(row(by_rpm, "Invented Two").value.value, two.rise(0.6, 180)));
  CHECK(close(row(by_rpm, "Invented One").value.value, one.rise(0.5, 180)));
  CHECK(rank(table, usual_meters(), {.load = 180}).rows.size() == 3);
}

TEST_CASE("a table without fan speeds, of coolers without any pump") {
  MeasuredTable table;
  for (const double rise : {40.0, 55.0}) {
    MeasuredPoint point;
    point.cooler = "Invented air cooler " + std::to_string(int(rise));
    point.load = 180;
    point.rise = rise;
    table.points.push_back(point);
  }
  const Ranking ranking = rank(table, usual_meters(), {.load = 180});
  REQUIRE(ranking.rows.size() == 2);
  CHECK(ranking.rows[0].value.value == 40.0);
  CHECK(ranking.rows[0].value.u_own == doctest::Approx(std::hypot(0.3, 0.8)));
  CHECK(ranking.rows[1].group == 2);
  CHECK(says(ranking.notes, "0.3 K is assumed"));
  CHECK(rank(table, usual_meters(), {.load = 180, .fan_share = 1.0}).rows.empty());
}

TEST_CASE("one cooler, one point") {
  MeasuredTable table;
  table.points.push_back(testing::point(one, 1.0, 180));
  const Ranking ranking = rank(table, usual_meters(), {.load = 180});
  REQUIRE(ranking.rows.size() == 1);
  CHECK(ranking.rows[0].group == 1);
  CHECK(ranking.ties.empty());
  CHECK(ranking.alike.empty());
  const Ranking near = rank(table, usual_meters(), {.load = 190});
  CHECK(near.rows[0].value.beyond);
  CHECK(says(near.rows[0].notes, "in proportion from 180 W"));
  CHECK(rank(table, usual_meters(), {.load = 220}).left_out.size() == 1);
}

TEST_CASE("points that are no points are told") {
  MeasuredTable table = trio();
  MeasuredPoint bad = testing::point(one, 1.0, 180);
  bad.rise = -1.0;
  table.points.push_back(bad);
  bad.rise = 40.0;
  bad.fan_share = 0.0;
  table.points.push_back(bad);
  const Ranking ranking = rank(table, usual_meters(), {.load = 180});
  const RankedCooler& found = row(ranking, "Invented One");
  CHECK(says(found.notes, "1 of its points without a positive rise or load"));
  CHECK(says(found.notes, "1 of its points with fans at rest"));
  CHECK(close(found.value.value, one.rise(1.0, 180)));
}

TEST_CASE("titles that differ by case or blanks are told") {
  MeasuredTable table = trio();
  ClosedCooler again = one;
  again.title = "invented one";
  add(table, again);
  CHECK(says(rank(table, usual_meters(), {.load = 180}).notes, "two coolers"));
}

TEST_CASE("wrong questions are refused") {
  CHECK(code_of({}, {.load = 180}) == Code::missing);
  CHECK(code_of(trio(), {.load = 180, .level = 30.0, .rise = 40.0}) == Code::conflict);
  CHECK(code_of(trio(), {.load = 0}) == Code::bounds);
  CHECK(code_of(trio(), {.load = 180, .fan_share = 0.0}) == Code::bounds);
  CHECK(code_of(trio(), {.load = 180}, {.apart = 0.0}) == Code::bounds);
  CHECK(code_of(trio(), {.load = 180}, {.reference = "Invented Onne"}) == Code::unknown);
  try {
    rank(trio(), usual_meters(), {.load = 180}, {.reference = "Invented Onne"});
  } catch (const InputError& error) {
    CHECK(error.problems()[0].suggestion.find("Invented One") != std::string::npos);
  }
}

TEST_CASE("noise curves: measured points and what lies between, quietest first") {
  const std::vector<NoiseCurve> curves = noise_curves(trio(), usual_meters(), 150);
  REQUIRE(curves.size() == 3);
  const NoiseCurve& curve = curves[1];
  CHECK(curve.title == "Invented One");
  int measured = 0;
  for (std::size_t i = 0; i < curve.points.size(); ++i) {
    const NoiseCurve::At& at = curve.points[i];
    measured += at.measured;
    CHECK(close(at.rise, one.rise(one.share_at_level(at.level), 150)));
    CHECK(at.u_rise > 0.1);
    if (i > 0) CHECK(at.level > curve.points[i - 1].level);
  }
  CHECK(measured == 4);
  CHECK(curve.points.size() == 13);
  CHECK(noise_curves(trio(), usual_meters(), 500).empty());
}

TEST_CASE("the order of the table does not matter") {
  MeasuredTable table = trio(2), turned = table;
  std::reverse(turned.points.begin(), turned.points.end());
  const Ranking a = rank(table, usual_meters(), {.load = 160, .level = 31});
  const Ranking b = rank(turned, usual_meters(), {.load = 160, .level = 31});
  for (std::size_t i = 0; i < a.rows.size(); ++i) {
    CHECK(a.rows[i].title == b.rows[i].title);
    CHECK(a.rows[i].short_name == b.rows[i].short_name);
    CHECK(a.rows[i].value.value == doctest::Approx(b.rows[i].value.value).epsilon(1e-12));
    CHECK(a.rows[i].value.u_own == doctest::Approx(b.rows[i].value.u_own).epsilon(1e-9));
  }
}

}  // namespace libloop
