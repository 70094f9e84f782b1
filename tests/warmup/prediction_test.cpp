// Settling times with intervals, habits, creep.
#include "libloop/warmup/prediction.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "libloop/base/error.hpp"
#include "libloop/files/read.hpp"
#include "libloop/warmup/waiting.hpp"

using namespace libloop;

namespace {

constexpr Duty usual{.load = 180.0, .ambient = 296.15};

std::string path(const char* name) {
  return std::string(LIBLOOP_SOURCE) + "/examples/" + name + ".toml";
}

Model dense() {
  return {read_cooler(path("dense-280")), read_bench(path("bench-invented")), usual_cells};
}

WarmupCase plain(const Duty& duty) { return {steady(duty), {}, duty}; }

WarmupPrediction predicted(const Model& model, const WarmupCase& asked, int samples) {
  WarmupPredictOptions options;
  options.samples = samples;
  return predict_warmup(model, std::span(&asked, 1), options);
}

void check_ordered(const Interval& i) {
  CHECK(i.p05 <= i.p50);
  CHECK(i.p50 <= i.p95);
  CHECK(std::isfinite(i.p95));
}

// The largest less the smallest of the reading in the last `over` seconds before `t`.
double moved(const Trajectory& trajectory, double t, double over) {
  double most = -1e300, least = 1e300;
  for (int k = 0; k <= 2000; ++k) {
    const double rise = trajectory.at(Trace::rise, t - over * k / 2000.0);
    most = std::max(most, rise);
    least = std::min(least, rise);
  }
  return most - least;
}

}  // namespace

TEST_CASE("intervals of waits are ordered, and tighter bands wait longer") {
  const Model model = dense();
  const WarmupPrediction prediction = predicted(model, plain(usual), 60);
  const WarmupPoint& point = prediction.points.front();
  CHECK(point.samples == 60);
  CHECK(point.without_answer == 0);
  REQUIRE(point.settling.size() == 3);
  for (std::size_t b = 0; b < 3; ++b) {
    check_ordered(point.settling[b].reading);
    check_ordered(point.settling[b].coolant);
    CHECK(point.settling[b].reading.p05 < point.settling[b].reading.p95);
    if (b == 0) continue;
    CHECK(point.settling[b].reading.p50 > point.settling[b - 1].reading.p50);
    CHECK(point.settling[b].reading.typical > point.settling[b - 1].reading.typical);
  }
  for (const HabitResult& habit : point.habits) {
    check_ordered(habit.time);
    check_ordered(habit.error);
  }
  check_ordered(point.settled_rise);
  // The same draws give the same numbers.
  const WarmupPrediction again = predicted(model, plain(usual), 60);
  CHECK(again.points.front().settling[1].reading.p95 == point.settling[1].reading.p95);
}

TEST_CASE("the settled interval is that of the operating point") {
  const Model model = dense();
  const WarmupPrediction warm = predicted(model, plain(usual), 60);
  const Prediction steady_point = predict(model, std::span(&usual, 1), {.samples = 60});
  const Interval& a = warm.points.front().settled_rise;
  const Interval& b = steady_point.points.front().at(Answer::rise);
  CHECK(a.p05 == doctest::Approx(b.p05).epsilon(1e-6));
  CHECK(a.p50 == doctest::Approx(b.p50).epsilon(1e-6));
  CHECK(a.p95 == doctest::Approx(b.p95).epsilon(1e-6));
  CHECK(a.typical == doctest::Approx(b.typical).epsilon(1e-9));
}

TEST_CASE("waits of samples are exact to half a per cent") {
  const Model model = dense();
  Duty slow = usual;
  slow.fan = 0.25;
  for (const Duty& duty : {usual, slow}) {
    Warmup warmup(model);
    const auto waits = [&](double tolerance, double band) {
      WarmupOptions options;
      options.tolerance = tolerance;
      const Trajectory t = warmup.run(steady(duty), {}, options);
      return t.settles(Trace::rise, t.settled_value(Trace::rise), band).value_or(0.0);
    };
    for (const double band : {1.0, 0.5, 0.1}) {
      CHECK(waits(5e-4, band) == doctest::Approx(waits(1e-6, band)).epsilon(5e-3));
    }
  }
}

TEST_CASE("a habit ends the wait when the reading has moved no more, and not before") {
  Warmup warmup(dense());
  const Trajectory t = warmup.run(steady(usual));
  for (const Habit& habit : {Habit{0.5, 60.0}, Habit{0.1, 120.0}, Habit{2.0, 10.0}}) {
    const std::optional<double> end = habit_ends(t, habit);
    REQUIRE(end);
    CHECK(moved(t, *end, habit.over) <= 1.01 * habit.change);
    const double before = *end - 0.05 * habit.over;
    if (before >= habit.over) CHECK(moved(t, before, habit.over) > habit.change);
  }
}

TEST_CASE("nothing is told of what was not followed") {
  const Model model = dense();
  WarmupCase asked = plain(usual);
  WarmupPredictOptions options;
  options.samples = 0;
  options.run.duration = 40.0;
  const WarmupPrediction short_one = predict_warmup(model, std::span(&asked, 1), options);
  const WarmupPoint& point = short_one.points.front();
  REQUIRE(point.creep.size() == 2);
  CHECK(point.creep.back().time == 30.0);
  for (const HabitResult& habit : point.habits) {
    CHECK(std::isinf(habit.time.typical));
    CHECK(std::isnan(habit.error.typical));
  }
  CHECK(std::isinf(point.settling.back().reading.typical));
  CHECK_FALSE(point.slow.error_after_minute);
}

TEST_CASE("rows of the creep table are those of the reading") {
  Warmup warmup(dense());
  const Trajectory t = warmup.run(steady(usual));
  const std::vector<Creep> rows = creep_of(t);
  REQUIRE(rows.size() > 4);
  for (const Creep& row : rows) {
    CHECK(row.rise == t.at(Trace::rise, row.time));
    CHECK(row.left == doctest::Approx(t.settled_value(Trace::rise) - row.rise));
    const double h = 1e-3 * row.time;
    const double slope =
        (t.at(Trace::rise, row.time + h) - t.at(Trace::rise, row.time - h)) / (2.0 * h);
    CHECK(row.rate == doctest::Approx(slope).epsilon(0.02).scale(1e-4));
  }
}

TEST_CASE("every chip has its own wait") {
  const Model model(read_cooler(path("custom-loop")), read_bench(path("bench-two-chips")),
                    usual_cells);
  const WarmupPrediction prediction = predicted(model, plain({.load = 90.0, .ambient = 296.15}), 0);
  const WarmupPoint& point = prediction.points.front();
  REQUIRE(point.other_chips.size() == 1);
  const ChipWait& chip = point.other_chips.front();
  CHECK(chip.name == "chip.graphics");
  const Trajectory& t = *point.typical;
  CHECK(chip.settled_rise.typical == t.settled_chip_rise(1));
  for (std::size_t b = 0; b < prediction.bands.size(); ++b) {
    const double wait = chip.time[b].typical;
    const double off = std::abs(t.chip_rise(1, wait) - t.settled_chip_rise(1));
    CHECK(off == doctest::Approx(prediction.bands[b]).epsilon(1e-6));
  }
}

TEST_CASE("what cannot be asked is refused") {
  const Model model = dense();
  const WarmupCase asked = plain(usual);
  const auto run = [&](auto&& spoil) {
    WarmupPredictOptions options;
    options.samples = 0;
    spoil(options);
    CHECK_THROWS_AS(predict_warmup(model, std::span(&asked, 1), options), InputError);
  };
  run([](WarmupPredictOptions& o) { o.bands = {0.0}; });
  run([](WarmupPredictOptions& o) { o.bands = {std::nan("")}; });
  run([](WarmupPredictOptions& o) { o.habits = {{-1.0, 60.0}}; });
  run([](WarmupPredictOptions& o) { o.habits = {{0.5, 0.0}}; });
  run([](WarmupPredictOptions& o) { o.samples = -1; });
  run([](WarmupPredictOptions& o) { o.run.duration = -1.0; });
  run([](WarmupPredictOptions& o) { o.run.tolerance = 1.0; });
  CHECK_THROWS_AS(predict_warmup(model, {}, {}), InputError);
}
