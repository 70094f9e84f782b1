#include "libloop/evidence/step_readings.hpp"

#include <doctest/doctest.h>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

constexpr double zero = 273.15;

Log invented() {
  Log log;
  log.file = "invented.csv";
  log.time = {0, 1, 2, 3, 4, 5};
  log.series = {{Channel::chip, "chip", {300, 310, 320, no_reading, 340, 350}, 0.5},
                {Channel::ambient, "room", {no_reading, 296, no_reading, no_reading, 298, 298}, 0},
                {Channel::load, "load", {90, 90, 180, 181, 179, 500}, 1},
                {Channel::fan_speed, "fan", {10, 10, 20, 20, 20, no_reading}, 0}};
  return log;
}

TEST_CASE("a step is read as rise by time, gaps of the ambient filled") {
  const StepReadings step = step_readings(invented(), {2, 6, ""});
  CHECK(step.begin == 2.0);
  CHECK(step.times == std::vector<double>{0, 1, 2, 3});
  CHECK(step.rise[0] == 320.0 - 296.0);
  CHECK(!is_reading(step.rise[1]));
  CHECK(step.rise[2] == 340.0 - 298.0);
  CHECK(step.rounding == 0.5);
  CHECK(step.ambient == doctest::Approx(297.0));
  CHECK(*step.set.load == 181.0);  // the upper median: one reading that is off says nothing
  CHECK(*step.set.fan_speed == 20.0);
  CHECK(!step.set.fan_share);
  CHECK(step.elapsed() == 3.0);
  // Before its first reading the ambient is what it is then.
  CHECK(step_readings(invented(), {0, 2, ""}).rise[0] == 300.0 - 296.0);
  CHECK(step_readings(invented(), {0, 2, ""}, zero + 20.0).rise[0] ==
        doctest::Approx(300.0 - zero - 20.0));
}

TEST_CASE("what is missing is asked for") {
  Log log = invented();
  log.series.erase(log.series.begin() + 1);
  CHECK_THROWS_AS(step_readings(log, {0, 2, ""}), InputError);
  CHECK_NOTHROW(step_readings(log, {0, 2, ""}, zero + 20.0));
  log.series.erase(log.series.begin());
  CHECK_THROWS_AS(step_readings(log, {0, 2, ""}, zero + 20.0), InputError);
  CHECK_THROWS_AS(step_readings(invented(), {2, 2, ""}), InputError);
  CHECK_THROWS_AS(step_readings(invented(), {2, 7, ""}), InputError);
}

TEST_CASE("what was set becomes a duty of the cooler, rpm by its rated speed") {
  Cooler cooler;
  cooler.add("fan");
  cooler.set("fan.rated_speed", "1200 rpm");
  const Duty otherwise{.load = 77.0, .pump = 0.8};
  const Duty duty = duty_of(step_readings(invented(), {2, 6, ""}), cooler, otherwise);
  CHECK(duty.load == 181.0);
  CHECK(duty.fan == doctest::Approx(1.0));
  CHECK(duty.pump == 0.8);
  CHECK(duty.ambient == doctest::Approx(297.0));
  StepReadings bare = step_readings(invented(), {2, 6, ""});
  bare.set = {};
  CHECK(duty_of(bare, cooler, otherwise).load == 77.0);
  bare.set.preset = 60.0;
  bare.set.fan_share = 0.4;
  CHECK(duty_of(bare, cooler, otherwise).load == 60.0);
  CHECK(duty_of(bare, cooler, otherwise).fan == 0.4);
}

TEST_CASE("a log may end with a step") {
  const Log cut = until(invented(), {0, 2, ""});
  CHECK(cut.time.size() == 2);
  for (const Series& series : cut.series) CHECK(series.values.size() == 2);
}

}  // namespace
}  // namespace libloop
