#include "libloop/evidence/forecast.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "libloop/base/error.hpp"
#include "libloop/evidence/log.hpp"
#include "libloop/files/read.hpp"
#include "libloop/warmup/warmup.hpp"

using namespace libloop;

namespace {

struct Readings {
  std::vector<double> times, rise;
};

// level + swing (1 - exp(-t/tau)), each second, with noise, rounded.
Readings exponential_log(double length, double level, double swing, double tau, double noise,
                         double step, unsigned seed = 3, double correlation = 0.0) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  const double fade = correlation > 0.0 ? std::exp(-1.0 / correlation) : 0.0;
  double state = normal(random);
  Readings r;
  for (double t = 0.0; t < length; t += 1.0) {
    state = fade * state + std::sqrt(1.0 - fade * fade) * normal(random);
    double y = level + swing * (1.0 - std::exp(-t / tau)) + noise * state;
    if (step > 0.0) y = std::round(y / step) * step;
    r.times.push_back(t);
    r.rise.push_back(y);
  }
  return r;
}

ForecastOptions rounded(double step) {
  ForecastOptions options;
  options.step = step;
  return options;
}

const Courses& exponentials() {
  static const Courses courses = exponential_courses();
  return courses;
}

Model dense_280() {
  return Model(read_cooler(LIBLOOP_SOURCE "/examples/dense-280.toml"),
               read_bench(LIBLOOP_SOURCE "/examples/bench-invented.toml"), usual_cells);
}

}  // namespace

TEST_CASE("a long quiet log tells its end and says stop") {
  const Readings r = exponential_log(600, 25, 10, 60, 0.05, 0.0);
  const Forecast f = forecast(r.times, r.rise, exponentials());
  CHECK(f.settled.p50 == doctest::Approx(35.0).epsilon(0.003));
  CHECK(f.settled.p05 < 35.0);
  CHECK(f.settled.p95 > 35.0);
  CHECK(f.verdict == Verdict::stop);
  CHECK(f.now == doctest::Approx(35.0).epsilon(0.003));
  CHECK(f.noise == doctest::Approx(0.05).epsilon(0.2));
  CHECK(f.used == 580);
}

TEST_CASE("cooling down is the same the other way") {
  const Readings up = exponential_log(240, 25, 10, 60, 0.2, 0.0);
  Readings down = up;
  for (double& y : down.rise) y = 60.0 - y;
  const Forecast a = forecast(up.times, up.rise, exponentials());
  const Forecast b = forecast(down.times, down.rise, exponentials());
  CHECK(b.settled.p50 == doctest::Approx(60.0 - a.settled.p50).epsilon(1e-6));
  CHECK(b.settled.p05 == doctest::Approx(60.0 - a.settled.p95).epsilon(1e-6));
  CHECK(b.left.p50 == doctest::Approx(-a.left.p50).epsilon(1e-6));
}

TEST_CASE("a constant added to all readings comes through") {
  const Readings r = exponential_log(200, 25, 10, 60, 0.3, 0.5);
  Readings shifted = r;
  for (double& y : shifted.rise) y += 11.0;
  CHECK(
      forecast(shifted.times, shifted.rise, exponentials(), rounded(0.5)).settled.p50 ==
      doctest::Approx(forecast(r.times, r.rise, exponentials(), rounded(0.5)).settled.p50 + 11.0));
}

TEST_CASE("too short a log asks to wait, and the wait ends in a stop") {
  const Readings whole = exponential_log(3600, 25, 12, 150, 0.5, 0.0, 5);
  const auto until = [&](double seconds) {
    const std::size_t n = static_cast<std::size_t>(seconds);
    return forecast(std::span(whole.times).first(n), std::span(whole.rise).first(n),
                    exponentials());
  };
  const Forecast early = until(120);
  REQUIRE(early.verdict == Verdict::wait);
  CHECK(early.wait > 60.0);
  CHECK(0.5 * (early.settled.p95 - early.settled.p05) > 0.5);
  CHECK_FALSE(early.why.empty());
  // When the verdict really turns, against what was expected half-way there.
  double turned = 0.0;
  for (double t = 150; t < 3600 && turned == 0.0; t += 30) {
    if (until(t).verdict == Verdict::stop) turned = t;
  }
  REQUIRE(turned > 150.0);
  const Forecast middle = until(0.6 * turned);
  REQUIRE(middle.verdict == Verdict::wait);
  const double expected = 0.6 * turned + middle.wait;
  CHECK(expected > 0.6 * turned);
  CHECK(expected < 2.0 * turned);
}

TEST_CASE("what cannot be told is said, with a reason") {
  SUBCASE("too few readings") {
    const Readings r = exponential_log(20, 25, 10, 60, 0.1, 0.0);
    const Forecast f = forecast(r.times, r.rise, exponentials());
    CHECK(f.verdict == Verdict::cannot_tell);
    CHECK(f.why.find("readings") != std::string::npos);
    CHECK(std::isinf(f.settled.p95));
  }
  SUBCASE("a load that wanders") {
    Readings r = exponential_log(900, 25, 10, 60, 0.1, 0.0);
    for (std::size_t i = 0; i < r.rise.size(); ++i) {
      r.rise[i] += 3.0 * std::sin(static_cast<double>(i) / 90.0);
    }
    const Forecast f = forecast(r.times, r.rise, exponentials());
    CHECK(f.verdict != Verdict::stop);
  }
  SUBCASE("a step of 1 K that never moves is not known to 0.2 K") {
    Readings r = exponential_log(900, 40, 0, 60, 0.0, 1.0);
    ForecastOptions options = rounded(1.0);
    options.within = 0.2;
    const Forecast f = forecast(r.times, r.rise, exponentials(), options);
    CHECK(f.verdict == Verdict::cannot_tell);
    CHECK(0.5 * (f.settled.p95 - f.settled.p05) > 0.4);
  }
}

TEST_CASE("rounding costs nothing where noise dithers it") {
  const Readings dithered = exponential_log(900, 30.3, 0, 60, 0.7, 1.0);
  const Forecast f = forecast(dithered.times, dithered.rise, exponentials(), rounded(1.0));
  CHECK(f.settled.p50 == doctest::Approx(30.3).epsilon(0.01));
  CHECK(f.verdict == Verdict::stop);
  // Without noise the error is uniform: 0.45 K either way in nine of ten, and the floor.
  const Readings flat = exponential_log(2400, 40, 0, 60, 0.0, 1.0);
  const Forecast g = forecast(flat.times, flat.rise, exponentials(), rounded(1.0));
  CHECK(g.settled.p95 - g.settled.p05 > 0.9);
  CHECK(g.verdict == Verdict::stop);
}

TEST_CASE("noise that hangs together widens the interval") {
  const Readings white = exponential_log(400, 25, 10, 80, 0.9, 0.0, 9);
  const Readings correlated = exponential_log(400, 25, 10, 80, 0.9, 0.0, 9, 12.0);
  const Forecast a = forecast(white.times, white.rise, exponentials());
  const Forecast b = forecast(correlated.times, correlated.rise, exponentials());
  CHECK(b.settled.p95 - b.settled.p05 > 1.15 * (a.settled.p95 - a.settled.p05));
  CHECK(b.correlation_time > a.correlation_time + 2.0);
}

TEST_CASE("fine readings of a course between two of the courses are not told too well") {
  int inside = 0;
  for (int k = 0; k < 12; ++k) {
    const double tau = 60.0 * std::pow(1.17, k);
    const Readings r = exponential_log(3.0 * tau, 25, 10, tau, 0.05, 0.0, 30 + k);
    const Forecast f = forecast(r.times, r.rise, exponentials());
    if (f.settled.p05 < 35.0 && 35.0 < f.settled.p95) ++inside;
    CHECK(f.why.find("follows no course") == std::string::npos);
  }
  CHECK(inside >= 10);
}

TEST_CASE("a rate of readings that changes does not hide their correlation") {
  const Readings slow = exponential_log(350, 25, 10, 80, 0.5, 0.0, 9, 15.0);
  Readings r = slow;
  const Readings more = exponential_log(300, 35, 0, 80, 0.5, 0.0, 10, 15.0);
  for (std::size_t i = 0; i < more.times.size(); ++i) {
    r.times.push_back(350.0 + 0.4 * more.times[i]);
    r.rise.push_back(more.rise[i]);
  }
  CHECK(forecast(r.times, r.rise, exponentials()).correlation_time > 3.0);
}

TEST_CASE("missing readings are passed over") {
  Readings r = exponential_log(300, 25, 10, 60, 0.2, 0.0);
  for (std::size_t i = 0; i < r.rise.size(); i += 7) r.rise[i] = no_reading;
  for (std::size_t i = 120; i < 160; ++i) r.rise[i] = no_reading;
  const Forecast f = forecast(r.times, r.rise, exponentials());
  CHECK(f.settled.p50 == doctest::Approx(35.0).epsilon(0.02));
}

TEST_CASE("a board that creeps is within the one-sided allowance") {
  Readings r = exponential_log(240, 32, 6, 40, 0.3, 0.0);
  for (std::size_t i = 0; i < r.rise.size(); ++i) {
    r.rise[i] += 0.8 * (1.0 - std::exp(-r.times[i] / 340.0));
  }
  const Forecast f = forecast(r.times, r.rise, exponentials());
  CHECK(f.allowance > 0.1);
  CHECK(f.settled.p95 + f.allowance > 38.8);
  // After a step down it lies on the other side.
  Readings down = r;
  for (double& y : down.rise) y = 60.0 - y;
  CHECK(forecast(down.times, down.rise, exponentials()).allowance < -0.1);
  // A log of an hour shows it; nothing hidden is left.
  const Readings hour = exponential_log(3600, 32, 6, 40, 0.3, 0.0);
  CHECK(forecast(hour.times, hour.rise, exponentials()).allowance < 0.02);
}

TEST_CASE("the fan of courses narrows to the readings and opens to the end") {
  const Readings r = exponential_log(150, 25, 12, 100, 0.3, 0.0);
  const Forecast f = forecast(r.times, r.rise, exponentials());
  REQUIRE(f.times.size() == f.p50.size());
  REQUIRE(f.times.size() > 10);
  CHECK(f.times.back() > 150.0);
  for (std::size_t i = 0; i < f.times.size(); ++i) {
    CHECK(f.p05[i] <= f.p50[i]);
    CHECK(f.p50[i] <= f.p95[i]);
  }
  CHECK(f.p95.back() - f.p05.back() > f.p95[10] - f.p05[10]);
}

TEST_CASE("warm-ups of the loop tell the end sooner than exponentials do") {
  const Model model = dense_280();
  const Duty duty{.load = 150.0, .fan = 0.5};
  // A loop of other values than the typical ones.
  Cooler other = read_cooler(LIBLOOP_SOURCE "/examples/dense-280.toml");
  other.set("coolant.volume", "0.33 L");
  Bench bench = read_bench(LIBLOOP_SOURCE "/examples/bench-invented.toml");
  bench.set("paste.bond_line", "45 um");
  Warmup warmup(Model(other, bench, usual_cells));
  const Trajectory truth = warmup.run(steady(duty));
  REQUIRE(truth.summary().usable);
  std::mt19937_64 random(4);
  std::normal_distribution<double> normal(0.0, 0.5);
  Readings r;
  for (double t = 0.0; t < 150.0; t += 1.0) {
    r.times.push_back(t);
    r.rise.push_back(truth.at(Trace::rise, t) + normal(random));
  }
  const Courses courses = physical_courses(model, duty, std::nullopt, 80);
  CHECK(courses.physical);
  const Forecast known = forecast(r.times, r.rise, courses);
  const Forecast blind = forecast(r.times, r.rise, exponentials());
  const double settled = truth.settled_value(Trace::rise);
  CHECK(known.settled.p05 < settled);
  CHECK(known.settled.p95 > settled);
  CHECK(known.settled.p50 == doctest::Approx(settled).epsilon(0.04));
  CHECK(known.settled.p95 - known.settled.p05 < blind.settled.p95 - blind.settled.p05);
}

TEST_CASE("a step down from a higher load has courses that fall") {
  const Duty duty{.load = 90.0}, before{.load = 200.0};
  const Courses courses = physical_courses(dense_280(), duty, before, 60);
  REQUIRE(courses.physical);
  for (const Course& course : courses.all) {
    CHECK(course.swing < 0.0);
    CHECK(course.left.front() == doctest::Approx(1.0).epsilon(1e-6));
    CHECK(std::abs(course.left.back()) < 0.02);
  }
}

TEST_CASE("calls that make no sense are refused") {
  const std::vector<double> up{1, 2, 3}, down{3, 2, 1}, two{1, 2};
  CHECK_THROWS_AS(forecast(up, two, exponentials()), InputError);
  CHECK_THROWS_AS(forecast(down, up, exponentials()), InputError);
  CHECK_THROWS_AS(forecast(up, up, Courses{}), InputError);
  CHECK_THROWS_AS(physical_courses(dense_280(), {}, std::nullopt, 10), InputError);
}
