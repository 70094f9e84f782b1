#include "libloop/evidence/held.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "evidence/log_maker.hpp"
#include "libloop/base/error.hpp"
#include "libloop/evidence/instruments.hpp"
#include "libloop/evidence/reduction.hpp"

namespace libloop {
namespace {

using testing::LogMaker;
using testing::series_of;

bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

// 320 W for so long, then 270 W with the chip where it was.
Log throttled(double seconds) {
  LogMaker maker{.plan = {{300, 60, 1.0}, {seconds, 320, 1.0}, {400, 270, 1.0}}};
  Log log = maker.make();
  Series& chip = series_of(log, Channel::chip);
  const std::size_t full = maker.begins[1] + 20;
  for (std::size_t i = full; i < log.time.size(); ++i) {
    chip.values[i] = 273.15 + 95.0 + 0.2 * std::sin(static_cast<double>(i));
  }
  return log;
}

TEST_CASE("a chip pinned while its power falls is throttled, the full step a point or not") {
  for (const double seconds : {50.0, 60.0, 300.0}) {
    CAPTURE(seconds);
    const Log log = throttled(seconds);
    CHECK(has(throttled_in(log, 2), "The power fell from "));
    CHECK(has(throttled_in(log, 2), "lower bound"));
    CHECK(throttled_in(log, 0).empty());
    CHECK(throttled_in(log, 1).empty());
    const Reduction r = reduce(log, instruments(Bench()));
    REQUIRE(!r.points.empty());
    CHECK(r.points.back().throttled);
    CHECK(!r.points.back().held);
    CHECK(r.points.front().held);
  }
}

TEST_CASE("a short step at more power that warms a loop up is no throttling") {
  // The chip falls with the power and comes back to the same reading as the loop warms.
  LogMaker maker{.plan = {{60, 320, 1.0}, {900, 225, 1.0}}};
  const Log log = maker.make();
  REQUIRE(steps(log).size() == 2);
  const auto& chip = log.find(Channel::chip)->values;
  REQUIRE(std::abs(chip[58] - chip[950]) < 5.0);
  CHECK(throttled_in(log, 1).empty());
}

TEST_CASE("a sag at constant preset is seen while the step runs") {
  LogMaker maker{.plan = {{400, 200, 0.5}}};
  Log log = maker.make();
  Series& preset = series_of(log, Channel::preset);
  preset.values.assign(log.time.size(), 200.0);
  CHECK(throttled_in(log, 0).empty());
  Series& chip = series_of(log, Channel::chip);
  Series& load = series_of(log, Channel::load);
  for (std::size_t i = 200; i < log.time.size(); ++i) {
    chip.values[i] = chip.values[200] + 0.2 * std::sin(static_cast<double>(i));
    load.values[i] *= 0.88;
  }
  CHECK(has(throttled_in(log, 0), "sagged from 20"));
}

TEST_CASE("a log with no load, or no such step") {
  Log log = LogMaker{.plan = {{200, 100, 1.0}}}.make();
  testing::drop(log, Channel::load);
  CHECK(throttled_in(log, 0).empty());
  CHECK_THROWS_AS(throttled_in(log, 7), const InputError&);
}

TEST_CASE("a limit cautions of the reading now and of where it settles") {
  const Log log = LogMaker{.plan = {{400, 200, 0.5}}, .noise = 0.05}.make();
  const Step step = steps(log).back();
  const double now = log.find(Channel::chip)->values.back();
  CHECK(limit_cautions(log, step, now + 1.0, now + 5.5).empty());
  const auto near = limit_cautions(log, step, now + 1.0, now + 4.5);
  REQUIRE(near.size() == 1);
  CHECK(has(near[0], "the chip reads "));
  CHECK(has(near[0], "stop the load; the maker's limit counts"));
  const auto later = limit_cautions(log, step, now + 9.0, now + 8.0);
  REQUIRE(later.size() == 1);
  CHECK(has(later[0], "would settle at"));
  CHECK(limit_cautions(log, step, now + 1.0, now - 3.0).size() == 2);
  CHECK(limit_cautions(log, step, no_reading, now + 8.0).empty());
}

}  // namespace
}  // namespace libloop
