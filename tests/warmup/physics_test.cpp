// What a tester knows: what makes a cooler settle slowly, and what does not.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/network/plan.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/warmup/warmup.hpp"
#include "support/coolers.hpp"
#include "support/published.hpp"

using namespace libloop;
using libloop::testing::Case;
using libloop::testing::published_range;

namespace {

constexpr Duty usual{.load = 180.0, .ambient = 296.15};

// The single coolers among the examples, in an open room.
std::vector<Case> coolers() {
  std::vector<Case> all;
  for (const Case& c : testing::some_cases()) {
    for (const char* name :
         {"thin-240", "dense-280", "deep-360", "wide-420", "small-fans-280", "push-pull-280"}) {
      if (c.name == name) all.push_back(c);
    }
  }
  return all;
}

struct Warm {
  double settling = 0.0;  // s, of the reading, to half a kelvin
  double rise = 0.0;      // K
  Trajectory trajectory;
};

Warm warm(const Model& model, const Duty& duty, const std::vector<double>& values) {
  Warmup warmup(model);
  const Trajectory t = warmup.run_at(values, steady(duty));
  REQUIRE(t.summary().usable);
  const double rise = t.settled_value(Trace::rise);
  const std::optional<double> settled = t.settles(Trace::rise, rise, 0.5);
  REQUIRE(settled);
  return {*settled, rise, t};
}

Warm warm(const Case& c, const Duty& duty = usual) {
  const Model model(c.cooler, c.bench, usual_cells);
  return warm(model, duty, model.typical(duty));
}

// With every quantity whose name ends so multiplied.
Warm warm_with(const Case& c, const std::string& quantity, double factor) {
  const Model model(c.cooler, c.bench, usual_cells);
  std::vector<double> values = model.typical(usual);
  int found = 0;
  for (std::size_t q = 0; q < values.size(); ++q) {
    if (model.quantities()[q].base.ends_with(quantity)) {
      values[q] *= factor;
      ++found;
    }
  }
  REQUIRE(found > 0);
  return warm(model, usual, values);
}

// Of what is left in the coolant, late: s.
double late_time_constant(const Trajectory& t) {
  const double settled = t.settled_value(Trace::coolant_rise);
  const double late = *t.settles(Trace::coolant_rise, settled, 0.03 * settled);
  const double left = settled - t.at(Trace::coolant_rise, late);
  return left / t.rate(Trace::coolant_rise, late);
}

}  // namespace

TEST_CASE("the plate and the paste change the rise, hardly the waiting") {
  for (const Case& c : coolers()) {
    CAPTURE(c.name);
    const Warm typical = warm(c);
    for (const char* name : {"cold_plate.heat_factor", "paste.conductivity"}) {
      CAPTURE(name);
      for (const double factor : {1.0 / 3.0, 3.0}) {
        CAPTURE(factor);
        const Warm other = warm_with(c, name, factor);
        CHECK(std::abs(other.rise - typical.rise) > 0.5);
        CAPTURE(typical.settling);
        CHECK(other.settling == doctest::Approx(typical.settling).epsilon(0.05));
      }
    }
  }
}

TEST_CASE("more coolant and slower fans make it slower") {
  for (const Case& c : coolers()) {
    CAPTURE(c.name);
    const Warm typical = warm(c);
    // Hoses twice as long hold twice the coolant.
    const Warm fuller = warm_with(c, "tube.length", 2.0);
    CHECK(fuller.settling > 1.02 * typical.settling);
    Duty slow = usual;
    double before = typical.settling;
    for (const double fan : {0.5, 0.3, 0.2}) {
      slow.fan = fan;
      const double now = warm(c, slow).settling;
      CHECK(now > 1.15 * before);
      before = now;
    }
  }
}

TEST_CASE("the slow time constant is all capacity behind the plate over the conductance to air") {
  for (const Case& c : coolers()) {
    for (const double fan : {1.0, 0.3}) {
      CAPTURE(c.name);
      CAPTURE(fan);
      Duty duty = usual;
      duty.fan = fan;
      const Trajectory t = warm(c, duty).trajectory;
      const double stored = t.energy(t.end()).stored;
      const double capacity = stored / t.settled_value(Trace::coolant_rise);
      const double expected = capacity / t.settled()[Answer::conductance];
      CAPTURE(expected);
      CHECK(late_time_constant(t) == doctest::Approx(expected).epsilon(0.2));
    }
  }
}

TEST_CASE(
    "in a room that warms, a probe that stays out of it makes the waiting many times longer") {
  Case c = coolers()[1];
  const Warm open = warm(c);
  c.bench.set("surroundings.kind", "warming");
  c.bench.set("sensor.probe", "intake");
  const Warm intake = warm(c);
  c.bench.set("sensor.probe", "fixed");
  const Warm fixed = warm(c);
  CHECK(intake.rise == doctest::Approx(open.rise).epsilon(0.02));
  // The coolant lags behind a room that still warms, by some tenths of a kelvin; no more.
  double most = 0.0;
  for (double t = 0.0; t < 3000.0; t += 5.0) {
    const double apart = open.trajectory.at(Trace::rise, t) - intake.trajectory.at(Trace::rise, t);
    most = std::max(most, std::abs(apart));
  }
  CAPTURE(most);
  CHECK(most < 0.6);
  CHECK(intake.settling < 2.5 * open.settling);
  CHECK(fixed.settling > 3.0 * intake.settling);
  CHECK(fixed.rise > open.rise + 1.0);
  CHECK(fixed.settling > 4.0 * open.settling);
}

TEST_CASE("the usual waits of 10 to 20 minutes") {
  // Common practice, no source: a tester waits 10 to 20 minutes for a liquid cooler to settle.
  // At full fans that is far more than it takes; slow fans, much coolant or a room that warms
  // bring it about.
  const char* source = "common practice, no source: usual waits are 10 to 20 minutes";
  double longest_full = 0.0;
  std::vector<double> slow_fans;
  for (const Case& c : coolers()) {
    longest_full = std::max(longest_full, warm(c).settling);
    for (const double fan : {0.2, 0.3, 0.4}) {
      Duty slow = usual;
      slow.fan = fan;
      slow_fans.push_back(warm(c, slow).settling);
    }
  }
  std::sort(slow_fans.begin(), slow_fans.end());
  const double median = slow_fans[slow_fans.size() / 2];
  MESSAGE("full fans, longest: " << longest_full << " s; fans 20 to 40 %: " << slow_fans.front()
                                 << ", " << median << ", " << slow_fans.back() << " s");
  CHECK(longest_full < 300.0);
  CHECK(median > 2.0 * longest_full);
  Case room = coolers()[1];
  room.bench.set("surroundings.kind", "warming");
  room.bench.set("sensor.probe", "fixed");
  Duty slow = usual;
  slow.fan = 0.3;
  const double warming = warm(room, slow).settling;
  MESSAGE("fans 30 % in a room that warms: " << warming << " s");
  CHECK(warming > 600.0);
  published_range("settling to 0.5 K at fans of 20 to 40 %, median of the examples, s", source,
                  600.0, 1200.0, median);
}
