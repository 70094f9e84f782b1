#include "libloop/evidence/reduction.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <random>

#include "evidence/log_maker.hpp"
#include "libloop/base/error.hpp"
#include "libloop/evidence/instruments.hpp"

namespace libloop {
namespace {

using testing::celsius;
using testing::drop;
using testing::LogMaker;
using testing::series_of;

Instruments<double> meters() { return instruments(Bench()); }

bool mentions(const std::vector<std::string>& notes, const std::string& words) {
  return std::any_of(notes.begin(), notes.end(), [&](const std::string& note) {
    return note.find(words) != std::string::npos;
  });
}

double part(const ReducedPoint& point, const std::string& name) {
  for (const Contribution& one : point.budget) {
    if (one.name == name) return one.u;
  }
  return 0.0;
}

// By all but the bench, which these logs do not disturb.
double own_interval(const ReducedPoint& point) {
  std::vector<Contribution> own;
  for (const Contribution& one : point.budget) {
    if (one.shared == Shared::no) own.push_back(one);
  }
  const double freedom = std::min(effective_freedom(own), 1e6);
  return quantile(boost::math::students_t(freedom), 0.975) * combined(own);
}

void all_finite(const Reduction& r) {
  for (const ReducedPoint& p : r.points) {
    for (const double x : {p.start, p.end, p.chip, p.ambient, p.rise, p.u, p.creep, p.u_creep}) {
      CHECK(std::isfinite(x));
    }
    for (const Contribution& one : p.budget) CHECK(std::isfinite(one.u));
    for (const auto& x : {p.state.load, p.state.preset, p.state.fan_speed, p.state.fan_share,
                          p.state.pump_speed, p.state.flow, p.state.coolant_rise, p.state.sound}) {
      if (x) CHECK(std::isfinite(*x));
    }
  }
}

struct Noise {
  double sd, time, rounding, interval;
};

TEST_CASE("95 % intervals of settled points hold the truth") {
  const Noise all[] = {{0.3, 0, 0.1, 1}, {0.6, 5, 0.1, 1}, {0.6, 5, 1, 1}, {0.2, 0, 1, 1}};
  int settled = 0, covered = 0;
  double of_u = 0.0;  // mean square of what is off, in standard uncertainties
  for (const Noise& noise : all) {
    for (unsigned seed = 1; seed <= 8; ++seed) {
      LogMaker maker{.plan = {{1500, 90, 1.0}, {1500, 180, 0.6}},
                     .interval = noise.interval,
                     .ambient = celsius + 21.0 + 0.137 * seed,
                     .noise = noise.sd,
                     .noise_time = noise.time,
                     .rounding = noise.rounding,
                     .slow = 110.0 + 15.0 * seed,
                     .seed = seed};
      const Reduction r = reduce(maker.make(), meters());
      REQUIRE(r.points.size() == 2);
      for (const ReducedPoint& point : r.points) {
        if (!point.settled) continue;
        ++settled;
        const double off = std::abs(point.rise - maker.settled[point.step]);
        covered += off < own_interval(point) ? 1 : 0;
        of_u += std::pow(off / combined(point.budget, Shared::no), 2);
        CHECK(off < 0.75);  // what is called settled is near the truth
      }
    }
  }
  MESSAGE("settled ", settled, " of 64, covered ", covered);
  CHECK(settled > 50);
  CHECK(covered > 0.90 * settled);
  MESSAGE("mean square of what is off, in u: ", of_u / settled);
  CHECK(of_u > 0.3 * settled);  // nor are they wider than need be
  CHECK(of_u < 1.3 * settled);
}

TEST_CASE("a campaign in one log is one point a step") {
  LogMaker maker{.plan = {{1200, 90, 1.0}, {1200, 180, 1.0}, {1200, 180, 0.5}, {40, 90, 1.0}}};
  const Reduction r = reduce(maker.make(), meters());
  REQUIRE(r.steps.size() == 4);
  REQUIRE(r.points.size() == 3);
  for (std::size_t i = 0; i < 3; ++i) {
    const ReducedPoint& p = r.points[i];
    CAPTURE(i);
    CHECK(p.step == i);
    CHECK(p.settled);
    CHECK(p.held);
    CHECK(p.rise == doctest::Approx(maker.settled[i]).epsilon(0.02));
    CHECK(p.chip - p.ambient == doctest::Approx(p.rise));
    CHECK(p.end < maker.begins[i + 1]);
    CHECK(*p.state.load == doctest::Approx(maker.plan[i].load).epsilon(0.01));
    CHECK(*p.state.fan_speed == doctest::Approx(30.0 * maker.plan[i].fans).epsilon(0.01));
    CHECK(p.u == doctest::Approx(combined(p.budget)));
    // The bench's part, from the meters: 1 K and 0.5 K either way, 3 % of the power.
    const double bench = std::sqrt((1.0 + 0.25 + std::pow(0.03 * p.rise, 2)) / 3.0);
    CHECK(combined(p.budget, Shared::bench) == doctest::Approx(bench));
    CHECK(combined(p.budget, Shared::no) < 0.3);
  }
  REQUIRE(r.left_out.size() == 1);
  CHECK(r.left_out[0].count == 1);
  CHECK(r.left_out[0].reason.find("shorter than a steady window of 60 s") != std::string::npos);
  CHECK(r.left_out[0].reason.find("3600 s") != std::string::npos);
  all_finite(r);
}

TEST_CASE("a step that is not over is told as not settled, its creep with it") {
  LogMaker maker{.plan = {{300, 180, 0.6}}, .noise = 0.1, .slow = 400.0};
  const Reduction r = reduce(maker.make(), meters());
  REQUIRE(r.points.size() == 1);
  const ReducedPoint& p = r.points[0];
  CHECK(!p.settled);
  CHECK(mentions(p.notes, "still creeps by"));
  CHECK(p.end - p.start == doctest::Approx(60.0).epsilon(0.05));
  CHECK(p.creep > 0.005);
  CHECK(p.u_creep > 0.0);
  CHECK(part(p, "still creeping") > 1.0);
  CHECK(p.rise < maker.settled[0]);
}

TEST_CASE("rounding is told apart from scatter and does not average away") {
  LogMaker maker{.plan = {{1800, 150, 1.0}}, .noise = 0.02, .rounding = 1.0};
  const Reduction still = reduce(maker.make(), meters());
  CHECK(part(still.points.at(0), "chip reading, rounding") ==
        doctest::Approx(0.2887).epsilon(0.02));
  maker.noise = 0.7;
  const Reduction dithered = reduce(maker.make(), meters());
  CHECK(part(dithered.points.at(0), "chip reading, rounding") < 0.01);
  CHECK(part(dithered.points.at(0), "scatter of the readings") > 0.01);
}

TEST_CASE("a power that sags at constant preset is throttling") {
  LogMaker maker{.plan = {{900, 90, 1.0}, {900, 200, 0.5}}};
  Log log = maker.make();
  Series& preset = series_of(log, Channel::preset);
  for (std::size_t i = 0; i < log.time.size(); ++i) preset.values[i] = i < 900 ? 90.0 : 200.0;
  Series& chip = series_of(log, Channel::chip);
  Series& load = series_of(log, Channel::load);
  const double top = celsius + 70.0;  // the chip gives way here, and power with it
  bool reached = false;
  for (std::size_t i = 900; i < log.time.size(); ++i) {
    reached = reached || chip.values[i] > top;
    if (!reached) continue;
    chip.values[i] = top + 0.2 * std::sin(static_cast<double>(i));
    load.values[i] *= 0.88;
  }
  const Reduction r = reduce(log, meters());
  REQUIRE(r.points.size() == 2);
  CHECK(r.points[0].held);
  CHECK(!r.points[0].throttled);
  CHECK(r.points[1].throttled);
  CHECK(!r.points[1].held);
  CHECK(mentions(r.points[1].notes, "sagged from 20"));
  CHECK(mentions(r.points[1].notes, "lower bound"));
}

TEST_CASE("without a preset a sudden sag is a cut, and still throttling") {
  LogMaker maker{.plan = {{900, 200, 1.0}, {900, 170, 1.0}}};
  Log log = maker.make();
  Series& chip = series_of(log, Channel::chip);
  for (std::size_t i = 900; i < log.time.size(); ++i) chip.values[i] = chip.values[890];
  const Reduction r = reduce(log, meters());
  REQUIRE(r.points.size() == 2);
  CHECK(!r.points[0].throttled);
  CHECK(r.points[1].throttled);
  CHECK(mentions(r.points[1].notes, "while the chip stayed at its highest reading"));
  // The same power set lower by the tester cools the chip.
  const Reduction plain = reduce(maker.make(), meters());
  CHECK(!plain.points.at(1).throttled);
}

TEST_CASE("a power under its preset from the start is throttling when the chip is at its top") {
  LogMaker maker{.plan = {{900, 90, 1.0}, {900, 150, 1.0}, {900, 210, 1.0}}};
  Log log = maker.make();
  Series& preset = series_of(log, Channel::preset);
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    preset.values[i] = i < 900 ? 90.0 : i < 1800 ? 150.0 : 250.0;
  }
  const Reduction r = reduce(log, meters());
  REQUIRE(r.points.size() == 3);
  CHECK(!r.points[1].throttled);
  CHECK(r.points[2].throttled);
  CHECK(mentions(r.points[2].notes, "at a preset of 250 W"));
}

TEST_CASE("leakage that fades as a chip cools is no throttling") {
  LogMaker maker{.plan = {{900, 220, 0.6}, {900, 150, 0.6}}};
  Log log = maker.make();
  Series& preset = series_of(log, Channel::preset);
  Series& load = series_of(log, Channel::load);
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    preset.values[i] = i < 900 ? 220.0 : 150.0;
    if (i >= 900) load.values[i] *= 1.0 + 0.06 * std::exp(-static_cast<double>(i - 900) / 100.0);
  }
  const Reduction r = reduce(log, meters());
  REQUIRE(r.points.size() == 2);
  CHECK(!r.points[1].throttled);
  CHECK(r.points[1].held);
}

TEST_CASE("a chip at its limit gives a lower bound, one near it a caution") {
  LogMaker maker{.plan = {{1200, 90, 1.0}, {1200, 180, 1.0}}};
  const Log log = maker.make();
  const double hot = celsius + 22.0 + maker.settled[1];
  const auto at = [&](double limit) { return reduce(log, meters(), {.limit = limit}); };
  const Reduction reached = at(hot + 0.5);
  CHECK(reached.points.at(0).held);
  CHECK(!reached.points.at(1).held);
  CHECK(!reached.points.at(1).throttled);
  CHECK(mentions(reached.points.at(1).notes, "lower bound"));
  const Reduction close = at(hot + 4.0);
  CHECK(close.points.at(1).held);
  CHECK(mentions(close.points.at(1).notes, "Caution"));
  CHECK(at(hot + 10.0).points.at(1).notes.empty());
}

TEST_CASE("a step ended early at the limit is a lower bound") {
  LogMaker maker{.plan = {{600, 90, 1.0}, {150, 250, 0.5}, {600, 60, 1.0}}, .noise = 0.1};
  const Log log = maker.make();
  const double last = series_of(const_cast<Log&>(log), Channel::chip).values[748];
  const Reduction r = reduce(log, meters(), {.limit = last});
  REQUIRE(r.points.size() == 3);
  CHECK(!r.points[1].settled);
  CHECK(!r.points[1].held);
  CHECK(r.points[2].held);
}

TEST_CASE("ambient from a second file, by its clock or from its start") {
  LogMaker maker{.plan = {{1200, 120, 1.0}}, .ambient_slope = 3e-4};
  Log log = maker.make();
  const Reduction by_column = reduce(log, meters());
  Log room;
  room.file = "room.csv";
  room.series.push_back(
      {.channel = Channel::ambient, .heading = "room", .values = {}, .step = 0.0});
  for (double t = -600.0; t < 2000.0; t += 30.0) {
    room.time.push_back(t + 600.0);
    room.series[0].values.push_back(celsius + 22.0 + 3e-4 * t);
  }
  drop(log, Channel::ambient);
  log.began = 1e9 + 600.0;
  room.began = 1e9;
  const Reduction by_clock = reduce(log, meters(), {.ambient_log = &room});
  CHECK(by_clock.points.at(0).rise == doctest::Approx(by_column.points.at(0).rise).epsilon(1e-6));
  CHECK(mentions(by_clock.notes, "by its clock"));
  room.began.reset();
  const Reduction from_start =
      reduce(log, meters(), {.ambient_log = &room, .ambient_shift = -600.0});
  CHECK(from_start.points.at(0).rise == doctest::Approx(by_column.points.at(0).rise).epsilon(1e-6));
  CHECK(mentions(from_start.notes, "as if both files began at once"));
  CHECK_THROWS_AS(reduce(log, meters(), {.ambient_log = &room, .ambient_shift = 1e5}), InputError);
  // The room's logger stopped: rows after it are told and not used.
  room.time.resize(40);
  room.series[0].values.resize(40);
  const Reduction part_of = reduce(log, meters(), {.ambient_log = &room, .ambient_shift = -600.0});
  CHECK(mentions(part_of.notes, "rows have no ambient reading"));
  REQUIRE(part_of.points.size() == 1);
  CHECK(part_of.points[0].end < 640.0);
}

TEST_CASE("an ambient that moves is told and doubted") {
  LogMaker maker{.plan = {{1800, 120, 1.0}}, .ambient_slope = 1e-3, .noise = 0.2};
  const Reduction r = reduce(maker.make(), meters());
  const ReducedPoint& p = r.points.at(0);
  CHECK(part(p, "ambient moving") > 0.03);
  CHECK(mentions(p.notes, "ambient rose by"));
  maker.ambient_slope = 0.0;
  CHECK(part(reduce(maker.make(), meters()).points.at(0), "ambient moving") < 1e-9);
}

TEST_CASE("ambient by option, and none at all") {
  LogMaker maker{.plan = {{1200, 120, 1.0}}};
  Log log = maker.make();
  const double by_column = reduce(log, meters()).points.at(0).rise;
  drop(log, Channel::ambient);
  const Reduction given = reduce(log, meters(), {.ambient = celsius + 22.0});
  CHECK(given.points.at(0).rise == doctest::Approx(by_column));
  CHECK(mentions(given.notes, "Ambient as given"));
  try {
    reduce(log, meters());
    FAIL("no error");
  } catch (const InputError& e) {
    CHECK(e.code() == Code::missing);
    CHECK(e.problems().front().suggestion.find("--ambient") != std::string::npos);
  }
  CHECK_THROWS_AS(reduce(log, meters(), {.ambient = 22.0}), InputError);
}

TEST_CASE("missing readings and empty columns do no harm") {
  LogMaker maker{.plan = {{1200, 90, 1.0}, {1200, 180, 1.0}}};
  Log log = maker.make();
  const Reduction whole = reduce(log, meters());
  for (Series& one : log.series) {
    for (std::size_t i = 0; i < one.values.size(); ++i) {
      if (i * 13 % 5 < 2) one.values[i] = no_reading;
    }
  }
  for (const Channel c : {Channel::flow, Channel::coolant, Channel::sound}) series_of(log, c);
  const Reduction r = reduce(log, meters());
  REQUIRE(r.points.size() == 2);
  all_finite(r);
  CHECK(r.points[1].rise == doctest::Approx(whole.points.at(1).rise).epsilon(0.01));
  CHECK(!r.points[1].state.flow);
  CHECK(!r.points[1].balance);
  for (double& one : series_of(log, Channel::chip).values) one = no_reading;
  CHECK_THROWS_AS(reduce(log, meters()), InputError);
  CHECK_THROWS_AS(reduce(Log{}, meters()), InputError);
}

TEST_CASE("tiny and coarse logs") {
  LogMaker maker{.plan = {{5, 90, 1.0}}};
  const Reduction tiny = reduce(maker.make(), meters());
  CHECK(tiny.points.empty());
  REQUIRE(tiny.left_out.size() == 1);
  CHECK(tiny.left_out[0].reason.find("shorter than 20 s") != std::string::npos);
  LogMaker coarse{.plan = {{3600, 90, 1.0}, {3600, 180, 1.0}}, .interval = 30.0, .noise = 0.1};
  const Reduction r = reduce(coarse.make(), meters());
  REQUIRE(r.points.size() == 2);
  CHECK(r.points[1].settled);
  CHECK(r.points[1].rise == doctest::Approx(coarse.settled[1]).epsilon(0.01));
}

TEST_CASE("coolant and sound of the window") {
  LogMaker maker{.plan = {{1200, 150, 1.0}}};
  Log log = maker.make();
  for (double& one : series_of(log, Channel::coolant).values) one = celsius + 30.0;
  auto& sound = series_of(log, Channel::sound).values;
  for (std::size_t i = 0; i < sound.size(); ++i) sound[i] = i % 2 == 0 ? 30.0 : 40.0;
  const ReducedPoint p = reduce(log, meters()).points.at(0);
  CHECK(*p.state.coolant_rise == doctest::Approx(8.0));
  // Energies: the louder half counts.
  CHECK(*p.state.sound == doctest::Approx(10.0 * std::log10(0.5 * (1e3 + 1e4))).epsilon(1e-3));
  CHECK(!p.balance);
}

TEST_CASE("levels are joined to points by fan speed") {
  LogMaker maker{.plan = {{900, 120, 1.0}, {900, 120, 0.7}, {900, 120, 0.4}}};
  const Log log = maker.make();
  const std::vector<Level> table = {{.fan_speed = 16.0, .fan_share = {}, .level = 28.0, .u = 0.6},
                                    {.fan_speed = 30.0, .fan_share = {}, .level = 41.0, .u = 0.6}};
  const Reduction r = reduce(log, meters(), {.levels = &table});
  REQUIRE(r.points.size() == 3);
  REQUIRE(r.points[0].level);
  CHECK(r.points[0].level->level == 41.0);
  REQUIRE(r.points[1].level);
  CHECK(r.points[1].level->level ==
        doctest::Approx(28.0 + 13.0 * std::log(21.0 / 16.0) / std::log(30.0 / 16.0)).epsilon(0.01));
  CHECK(mentions(r.points[1].notes, "is read between"));
  CHECK(!r.points[2].level);
  CHECK(mentions(r.points[2].notes, "outside the table"));
}

// Readings of any kind, at any times: no NaN comes out, nothing hangs.
Log wild(unsigned seed) {
  std::mt19937 random(seed);
  const auto below = [&](unsigned n) { return static_cast<unsigned>(random() % n); };
  Log log;
  log.file = "wild.csv";
  double t = 0.0;
  for (unsigned i = 0; i < 3 + below(400); ++i) {
    log.time.push_back(t);
    t += below(20) == 0 ? 1e5 : below(9) == 0 ? 1e-6 : 0.5 + below(3);
  }
  for (const DeclaredChannel& one : channels()) {
    if (below(3) == 0 && one.channel != Channel::chip && one.channel != Channel::ambient) continue;
    Series series{.channel = one.channel, .heading = "wild", .values = {}, .step = 0.0};
    series.step = below(2) == 0 ? 0.0 : 0.5;
    double now = one.min;
    for (std::size_t i = 0; i < log.time.size(); ++i) {
      if (below(25) == 0) now = one.min + (one.max - one.min) * below(11) / 10.0;
      series.values.push_back(below(6) == 0 ? no_reading : now);
    }
    log.series.push_back(series);
  }
  return log;
}

TEST_CASE("whatever a log holds, no NaN comes out") {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    CAPTURE(seed);
    const Log log = wild(seed);
    Reduction r;
    try {
      r = reduce(log, meters(), {.limit = celsius + 90.0});
    } catch (const InputError&) {
      continue;  // no chip or no ambient is there
    }
    all_finite(r);
    long long left_out = 0;
    for (const LeftOut& one : r.left_out) left_out += one.count;
    CHECK(r.steps.size() == r.points.size() + static_cast<std::size_t>(left_out));
    for (std::size_t i = 1; i < r.steps.size(); ++i) CHECK(r.steps[i].begin == r.steps[i - 1].end);
    for (const ReducedPoint& p : r.points) {
      if (p.balance) CHECK(std::isfinite(p.balance->carried + p.balance->u_carried));
      CHECK(p.end >= p.start);
    }
  }
}

TEST_CASE("readings that alternate leave numbers") {
  // Block means are then exactly alike while the readings are not.
  LogMaker maker{.plan = {{1200, 180, 1.0}}, .noise = 0.0, .load_noise = 0.0};
  Log log = maker.make();
  Series& chip = series_of(log, Channel::chip);
  Series& load = series_of(log, Channel::load);
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    chip.values[i] = celsius + 60.0 + (i % 2 ? 0.1 : 0.0);
    load.values[i] = i % 2 ? 181.0 : 180.0;
  }
  const Reduction r = reduce(log, meters());
  all_finite(r);
  REQUIRE(r.points.size() == 1);
  CHECK(r.points[0].held);
  CHECK(!r.points[0].throttled);
  CHECK(r.points[0].rise == doctest::Approx(38.05).epsilon(1e-3));
}

TEST_CASE("a chip that reads below ambient under load is told") {
  LogMaker maker{.plan = {{600, 100, 1.0}}};
  Log log = maker.make();
  CHECK(!mentions(reduce(log, meters()).points.at(0).notes, "below ambient"));
  for (double& one : series_of(log, Channel::ambient).values) one += 40.0;
  CHECK(mentions(reduce(log, meters()).points.at(0).notes, "reads below ambient: check"));
}

TEST_CASE("options out of bounds are refused") {
  const Log log = LogMaker{.plan = {{300, 90, 1.0}}}.make();
  CHECK_THROWS_AS(reduce(log, meters(), {.creep = 0.0}), InputError);
  CHECK_THROWS_AS(reduce(log, meters(), {.shortest = -1.0}), InputError);
  CHECK_THROWS_AS(reduce(log, meters(), {.confidence = 1.0}), InputError);
}

}  // namespace
}  // namespace libloop
