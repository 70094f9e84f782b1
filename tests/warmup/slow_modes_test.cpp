// Slow modes as they are told, and the closed form for small steps.
#include <doctest/doctest.h>

#include <cmath>
#include <numeric>

#include "libloop/files/read.hpp"
#include "libloop/warmup/warmup.hpp"
#include "support/coolers.hpp"

using namespace libloop;

namespace {

constexpr Duty usual{.load = 180.0, .ambient = 296.15};

double sum(const std::vector<Owner>& owners) {
  return std::accumulate(owners.begin(), owners.end(), 0.0,
                         [](double all, const Owner& o) { return all + o.share; });
}

double share_of(const std::vector<Owner>& owners, const std::string& word) {
  double all = 0.0;
  for (const Owner& o : owners) all += o.name.find(word) != std::string::npos ? o.share : 0.0;
  return all;
}

}  // namespace

TEST_CASE(
    "for a small step the sum of exponentials is the warm-up, and falls short with its size") {
  const testing::Case c = testing::some_cases().front();
  Warmup warmup(Model(c.cooler, c.bench, 2));
  const auto error = [&](double from) {
    WarmupOptions options;
    options.tolerance = 1e-7;
    Duty soak = usual;
    soak.load = from;
    warmup.run(steady(usual), {soak}, options);
    return warmup.modes().worst_error;
  };
  const double tenth = error(usual.load * 0.99), one = error(usual.load * 0.9);
  CHECK(tenth < 1e-3);
  // What is left is of second order in the step.
  CAPTURE(tenth);
  CHECK(one / tenth == doctest::Approx(100.0).epsilon(0.35));
}

TEST_CASE("late in a warm-up the slow modes are what is still missing") {
  for (const testing::Case& c : testing::some_cases()) {
    CAPTURE(c.name);
    Warmup warmup(Model(c.cooler, c.bench, 2));
    const Trajectory t = warmup.run(steady(usual));
    if (!t.summary().usable) continue;
    const SlowModes slow = warmup.modes();
    REQUIRE_FALSE(slow.modes.empty());
    REQUIRE(slow.error_after_minute);
    const double settled = t.settled_value(Trace::rise);
    for (const double time : {120.0, 240.0}) {
      double told = 0.0, swing = 0.0;
      for (const SlowMode& mode : slow.modes) {
        const double rest = mode.amplitude * std::exp(-time / mode.time_constant);
        (mode.period > 0.0 ? swing : told) += rest;
      }
      const double missing = settled - t.at(Trace::rise, time);
      // Modes below 0.01 K are not told.
      CHECK(std::abs(missing - told) <= std::abs(swing) + *slow.error_after_minute + 0.05);
    }
  }
}

TEST_CASE("owners told of a mode sum to all, and the loop's mode is the coolant's and the air's") {
  const testing::Case c = testing::some_cases().front();
  Warmup warmup(Model(c.cooler, c.bench, usual_cells));
  Duty slow_fans = usual;
  slow_fans.fan = 0.5;
  warmup.run(steady(slow_fans));
  const SlowModes slow = warmup.modes();
  const SlowMode* loop = nullptr;
  for (const SlowMode& mode : slow.modes) {
    if (mode.period > 0.0) continue;
    CHECK(sum(mode.stores) == doctest::Approx(1.0).epsilon(1e-6));
    CHECK(sum(mode.carries) == doctest::Approx(-1.0).epsilon(1e-6));
    if (loop == nullptr || mode.amplitude > loop->amplitude) loop = &mode;
  }
  REQUIRE(loop != nullptr);
  CHECK(share_of(loop->stores, "coolant") > 0.3);
  CHECK(share_of(loop->carries, "air flow") < -0.3);
  CHECK(std::abs(share_of(loop->stores, "cold_plate")) < 0.05);
}

TEST_CASE("without a settled point there are no modes") {
  const testing::Case c = testing::some_cases().front();
  Warmup warmup(Model(c.cooler, c.bench, 2));
  CHECK(warmup.modes().modes.empty());
  warmup.run(steady({.load = 400.0, .ambient = 296.15, .pump = 0.0}));
  CHECK(warmup.modes().modes.empty());
}
