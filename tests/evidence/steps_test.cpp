#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "evidence/log_maker.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/evidence/steps_jumps.hpp"

namespace libloop {
namespace {

using testing::drop;
using testing::LogMaker;
using testing::series_of;

void check_begins(const std::vector<Step>& found, const std::vector<std::size_t>& begins) {
  REQUIRE(found.size() == begins.size());
  for (std::size_t i = 0; i < begins.size(); ++i) {
    CAPTURE(i);
    CHECK(std::abs(static_cast<double>(found[i].begin) - static_cast<double>(begins[i])) <= 2);
    if (i > 0) CHECK(found[i].begin == found[i - 1].end);
  }
}

const std::vector<testing::SetTo> campaign = {{300, 90, 1.0},  {300, 180, 1.0}, {300, 180, 0.7},
                                              {300, 180, 0.5}, {300, 90, 0.5},  {300, 90, 0.55}};

TEST_CASE("cuts lie within two rows of where load and fans were set, however they wander") {
  for (unsigned seed = 1; seed <= 40; ++seed) {
    CAPTURE(seed);
    LogMaker maker{.plan = campaign, .load_noise = 0.02, .speed_noise = 0.015, .seed = seed};
    const Log log = maker.make();
    check_begins(steps(log), maker.begins);
  }
}

TEST_CASE("a cut says what jumped") {
  LogMaker maker{.plan = {{200, 90, 1.0}, {200, 180, 1.0}, {200, 180, 0.5}, {200, 120, 1.0}},
                 .load_noise = 0.0,
                 .speed_noise = 0.0};
  Log log = maker.make();
  const std::vector<Step> found = steps(log);
  REQUIRE(found.size() == 4);
  CHECK(found[0].cut_by.empty());
  CHECK(found[1].cut_by == "load from 90 to 180 W");
  CHECK(found[2].cut_by == "fans from 1800 to 900 rpm");
  CHECK(found[3].cut_by == "load from 180 to 120 W and fans from 900 to 1800 rpm");
  CHECK(found[3].end == log.time.size());
}

TEST_CASE("other intervals, gaps, missing readings and single glitches do not move cuts") {
  for (const double interval : {0.2, 0.5, 2.0, 5.0}) {
    CAPTURE(interval);
    LogMaker maker{.plan = campaign, .interval = interval, .seed = 5};
    Log log = maker.make();
    Series& load = series_of(log, Channel::load);
    Series& fans = series_of(log, Channel::fan_speed);
    for (std::size_t i = 0; i < log.time.size(); i += 5) load.values[i] = no_reading;
    for (std::size_t i = 20; i < log.time.size(); i += 31) fans.values[i] = 0.0;
    for (std::size_t i = 27; i < log.time.size(); i += 47) load.values[i] = 600.0;
    check_begins(steps(log), maker.begins);
  }
}

TEST_CASE("a gap of missing rows across a cut puts it after the gap") {
  LogMaker maker{.plan = {{200, 90, 1.0}, {200, 180, 1.0}}};
  Log log = maker.make();
  for (std::size_t i = 190; i < 230; ++i) {
    for (Series& one : log.series) one.values[i] = no_reading;
  }
  const std::vector<Step> found = steps(log);
  REQUIRE(found.size() == 2);
  CHECK(found[1].begin == 230);
}

TEST_CASE("a load that drifts with leakage is one step") {
  LogMaker maker{.plan = {{900, 150, 1.0}}, .load_drift = 1e-4};  // 9 % in a quarter of an hour
  CHECK(steps(maker.make()).size() == 1);
}

TEST_CASE("a ramp of some seconds is one cut at its start") {
  LogMaker maker{.plan = {{300, 90, 1.0}, {300, 180, 1.0}}};
  Log log = maker.make();
  Series& load = series_of(log, Channel::load);
  for (std::size_t i = 0; i < 10; ++i)
    load.values[300 + i] = 90.0 + 9.0 * static_cast<double>(i + 1);
  const std::vector<Step> found = steps(log);
  REQUIRE(found.size() == 2);
  CHECK(found[1].begin >= 299);
  CHECK(found[1].begin <= 302);
}

TEST_CASE("noise alone is never cut") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    LogMaker maker{
        .plan = {{5000, 150, 0.8}}, .load_noise = 0.04, .speed_noise = 0.03, .seed = seed};
    CHECK(steps(maker.make()).size() == 1);
  }
}

TEST_CASE("a preset rules where there is one, and a sagging load is no cut") {
  LogMaker maker{.plan = {{300, 90, 1.0}, {300, 180, 1.0}}};
  Log log = maker.make();
  Series& preset = series_of(log, Channel::preset);
  Series& load = series_of(log, Channel::load);
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    preset.values[i] = i < 300 ? 90.0 : 180.0;
    if (i >= 450) load.values[i] *= 0.85;
  }
  std::vector<Step> found = steps(log);
  check_begins(found, {0, 300});
  CHECK(found[1].cut_by == "preset from 90 to 180 W");
  // One that never moves does not hide a load that plainly does.
  for (double& one : preset.values) one = 250.0;
  check_begins(steps(log), {0, 300});
}

TEST_CASE("without anything set, the chip's jumps cut") {
  LogMaker maker{.plan = {{600, 90, 1.0}, {600, 180, 1.0}, {600, 60, 1.0}}};
  Log log = maker.make();
  drop(log, Channel::load);
  drop(log, Channel::fan_speed);
  const std::vector<Step> found = steps(log);
  // The chip answers within seconds; the first warm-up may be cut too.
  const auto near = [&](std::size_t row) {
    return std::any_of(found.begin(), found.end(),
                       [&](const Step& s) { return s.begin + 3 >= row && s.begin <= row + 6; });
  };
  CHECK(near(600));
  CHECK(near(1200));
  CHECK(found.size() <= 4);
}

TEST_CASE("pump and shares cut too") {
  LogMaker maker{.plan = {{900, 150, 1.0}}};
  Log log = maker.make();
  Series& share = series_of(log, Channel::fan_share);
  for (std::size_t i = 0; i < 900; ++i) share.values[i] = i < 300 ? 1.0 : 0.97;
  Series& pump = series_of(log, Channel::pump_share);
  for (std::size_t i = 0; i < 900; ++i) pump.values[i] = i < 600 ? 1.0 : 0.6;
  const std::vector<Step> found = steps(log);
  check_begins(found, {0, 300, 600});
  CHECK(found[1].cut_by == "fans from 100 to 97 %");
  CHECK(found[2].cut_by == "pump from 100 to 60 %");
}

TEST_CASE("empty and tiny logs have steps without harm") {
  CHECK(steps(Log{}).empty());
  LogMaker maker{.plan = {{3, 90, 1.0}}};
  CHECK(steps(maker.make()).size() == 1);
  Log log = LogMaker{.plan = {{100, 90, 1.0}}}.make();
  for (Series& one : log.series) std::fill(one.values.begin(), one.values.end(), no_reading);
  CHECK(steps(log).size() == 1);
  log.series.clear();
  CHECK(steps(log).size() == 1);
}

TEST_CASE("a burst is none, and changes back are not told") {
  std::vector<double> times, values;
  for (int i = 0; i < 200; ++i) {
    times.push_back(i);
    values.push_back(i >= 100 && i < 105 ? 50.0 : 100.0);
  }
  CHECK(jumps(times, values, {.least = 5.0}).empty());
  for (int i = 105; i < 200; ++i) values[static_cast<std::size_t>(i)] = 50.0;
  REQUIRE(jumps(times, values, {.least = 5.0}).size() == 1);
  CHECK(jumps(times, values, {.least = 5.0})[0].at == 100);
  CHECK(jumps(times, values, {.least = 5.0})[0].after == 50.0);
}

}  // namespace
}  // namespace libloop
