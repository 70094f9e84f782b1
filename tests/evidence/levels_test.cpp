#include "libloop/evidence/levels.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/evidence/instruments.hpp"
#include "libloop/evidence/levels_join.hpp"
#include "support/published.hpp"

namespace libloop {
namespace {

using testing::published;

Instruments<double> meter() { return instruments(Bench()); }  // +-1 dB, floor 25 dBA

LevelReading reading(double speed, double level) {
  LevelReading r;
  r.fan_speed = speed;
  r.level = level;
  return r;
}

Level one_of(const LevelReading& r, const LevelOptions& options = {}) {
  return levels({"made.csv", {r}, {}}, meter(), options).at(0);
}

TEST_CASE("the room's energy is taken off") {
  const char* source = "Levels subtract as energies: ISO 3744:2010, 8.2.3, K1 (from memory)";
  // K1 = -10 log10(1 - 10^(-dL/10)): 1.3 dB at 6 dB, 0.5 dB at 10 dB, 0.4 dB at 10.6 dB.
  for (const auto& [over, taken] : {std::pair{6.0, 1.256}, {10.0, 0.458}}) {
    LevelReading r = reading(20, 40 + over);
    r.background = 40.0;
    r.distance = 1.0;
    const Level level = one_of(r);
    CHECK(!level.bound);
    published("background correction at " + std::to_string(static_cast<int>(over)) + " dB, dB",
              source, taken, r.level - level.level, 2e-3);
  }
}

TEST_CASE("distance: 6 dB for twice") {
  LevelReading r = reading(20, 45);
  r.background = 20.0;
  r.distance = 1.0;
  const double at_one = one_of(r).level;
  r.distance = 0.5;
  published("half the distance, dB", "inverse square law; common practice, no source", -6.02,
            one_of(r).level - at_one, 1e-3);
  CHECK(one_of(r, {.distance = 0.5}).level == doctest::Approx(at_one));
  // The table rules, the option stands in.
  LevelReading bare = reading(20, 45);
  bare.background = 20.0;
  CHECK(one_of(bare, {.read_at = 0.5}).level == doctest::Approx(at_one - 6.0206).epsilon(1e-6));
  CHECK(one_of(bare).notes.at(0).find("distance is not known") != std::string::npos);
}

TEST_CASE("near the room or the floor a reading is a bound") {
  LevelReading r = reading(20, 42);
  r.distance = 1.0;
  r.background = 40.0;
  CHECK(one_of(r).bound);
  CHECK(one_of(r).level == 42.0);
  r.background = 38.9;
  CHECK(!one_of(r).bound);
  LevelReading quiet = reading(10, 27.5);
  quiet.distance = 1.0;
  quiet.background = 15.0;
  CHECK(one_of(quiet).bound);
  quiet.level = 28.5;
  CHECK(!one_of(quiet).bound);
  // Below the room: still finite, still a bound.
  r.background = 50.0;
  CHECK(one_of(r).bound);
  CHECK(std::isfinite(one_of(r).level));
}

TEST_CASE("without a room's level nothing is taken off, and it is told") {
  LevelReading r = reading(20, 40);
  r.distance = 1.0;
  CHECK(one_of(r).level == 40.0);
  CHECK(one_of(r).notes.size() == 1);
  CHECK(one_of(r, {.background = 30.0}).level < 40.0);
  CHECK(one_of(r, {.background = 30.0}).notes.empty());
}

TEST_CASE("uncertainty: the meter, and the room where it is near") {
  LevelReading r = reading(20, 60);
  r.distance = 1.0;
  r.background = 20.0;
  CHECK(one_of(r).u == doctest::Approx(1.0 / std::sqrt(3.0)).epsilon(1e-3));
  r.level = 24.0 + 10.0;
  r.background = 30.0;
  const double share = std::pow(10.0, -0.4);
  const double room = 1.0 / std::sqrt(3.0) * share / (1.0 - share);
  CHECK(one_of(r).u == doctest::Approx(std::hypot(1.0 / std::sqrt(3.0), room)));
}

TEST_CASE("repeated readings are one, averaged as energies, slowest first") {
  LevelTable table{"made.csv", {reading(30, 46), reading(20, 38), reading(20.2, 42)}, {}};
  for (LevelReading& r : table.readings) r.distance = 1.0, r.background = 0.0;
  const std::vector<Level> all = levels(table, meter());
  REQUIRE(all.size() == 2);
  CHECK(*all[0].fan_speed == doctest::Approx(20.1));
  CHECK(all[0].readings == 2);
  const double mean = 10.0 * std::log10((std::pow(10.0, 3.8) + std::pow(10.0, 4.2)) / 2.0);
  CHECK(all[0].level == doctest::Approx(mean).epsilon(1e-3));
  CHECK(all[0].u > all[1].u);
  CHECK(all[1].level == doctest::Approx(46).epsilon(1e-3));
  // A bound among values is not used.
  table.readings.push_back(reading(30, 26));
  const std::vector<Level> mixed = levels(table, meter());
  CHECK(!mixed[1].bound);
  CHECK(mixed[1].level == doctest::Approx(all[1].level));
  CHECK(levels({}, meter()).empty());
}

TEST_CASE("shares are told apart exactly") {
  LevelTable table;
  for (const double share : {1.0, 0.5, 0.51, 0.5}) {
    LevelReading r;
    r.fan_share = share;
    r.level = 40;
    r.distance = 1.0;
    table.readings.push_back(r);
  }
  const std::vector<Level> all = levels(table, meter());
  REQUIRE(all.size() == 3);
  CHECK(*all[0].fan_share == 0.5);
  CHECK(all[0].readings == 2);
  CHECK(*all[2].fan_share == 1.0);
}

TEST_CASE("levels refuse what is none") {
  LevelReading r = reading(20, 40);
  r.distance = 0.0;
  CHECK_THROWS_AS(one_of(r), InputError);
  r.distance = 1.0;
  CHECK_THROWS_AS(one_of(r, {.distance = -1.0}), InputError);
  r.level = 1e6;
  CHECK_THROWS_AS(one_of(r), InputError);
  r.level = std::nan("");
  CHECK_THROWS_AS(one_of(r), InputError);
}

TEST_CASE("a level at a point: near, between, outside, none") {
  const std::vector<Level> table = {{.fan_speed = 10.0, .level = 25.0, .u = 0.5, .bound = true},
                                    {.fan_speed = 20.0, .level = 36.0, .u = 0.6},
                                    {.fan_speed = 40.0, .level = 51.0, .u = 0.7}};
  const JoinedLevel near = level_at(table, {}, 20.3);
  REQUIRE(near.level);
  CHECK(near.level->level == 36.0);
  CHECK(near.level->u > 0.6);
  CHECK(level_at(table, {}, 20.0).level->u == 0.6);
  const JoinedLevel between = level_at(table, {}, std::sqrt(20.0 * 40.0));
  REQUIRE(between.level);
  CHECK(between.level->level == doctest::Approx(43.5));
  CHECK(!between.level->bound);
  CHECK(!between.note.empty());
  CHECK(level_at(table, {}, 15.0).level->bound);
  CHECK(!level_at(table, {}, 45.0).level);
  CHECK(!level_at(table, {}, 0.0).level);
  CHECK(!level_at(table, 0.5, {}).level);  // no share in the table
  CHECK(!level_at(table, 0.5, {}).note.empty());
  CHECK(level_at(table, 0.5, 20.0).level->level == 36.0);
  CHECK(!level_at({}, 0.5, 20.0).level);
}

}  // namespace
}  // namespace libloop
