#include "libloop/evidence/steady.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "evidence/noise_maker.hpp"
#include "libloop/evidence/steady_lag.hpp"

namespace libloop {
namespace {

using testing::correlated_noise;

struct Readings {
  std::vector<double> t, y;
};

// 40 - swing exp(-t/lag), with noise.
Readings course(double seconds, double swing, double lag, double noise, double noise_time = 0.0,
                unsigned seed = 1) {
  Readings r;
  const std::vector<double> z = correlated_noise(static_cast<int>(seconds), noise_time, 1.0, seed);
  for (std::size_t i = 0; i < z.size(); ++i) {
    r.t.push_back(static_cast<double>(i));
    r.y.push_back(40.0 - swing * std::exp(-r.t.back() / lag) + noise * z[i]);
  }
  return r;
}

double starts(const Readings& r, const SteadyWindow& w) { return r.t[w.first]; }

TEST_CASE("of a course that settles, the window is its flat end") {
  const Readings r = course(1800, 30, 150, 0.2);
  const auto w = steady_window(r.t, r.y, {});
  REQUIRE(w);
  CHECK(w->settled);
  CHECK(w->why.empty());
  CHECK(starts(r, *w) > 600);   // 0.5 K are left there
  CHECK(starts(r, *w) < 1600);  // but no more is thrown away than need be
  CHECK(std::abs(w->mean.value - 40.0) < 0.1);
  CHECK(std::abs(w->creep) < 0.1 / 60);
  CHECK(w->lag == doctest::Approx(150).epsilon(0.15));
}

TEST_CASE("a flat step is used whole, or nearly") {
  const Readings r = course(900, 0, 150, 0.3);
  const auto w = steady_window(r.t, r.y, {});
  REQUIRE(w);
  CHECK(w->settled);
  CHECK(starts(r, *w) < 400);
}

TEST_CASE("creep above what is allowed is never called settled, and its end is in the doubt") {
  int inside = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    Readings r = course(900, 0, 150, 0.3, 5, seed);
    for (std::size_t i = 0; i < r.y.size(); ++i) r.y[i] += 0.2 / 60 * r.t[i];
    const auto w = steady_window(r.t, r.y, {});
    REQUIRE(w);
    CHECK(!w->settled);
    CHECK(!w->why.empty());
    const double end = 40.0 + 0.2 / 60 * r.t.back();
    if (std::abs(w->mean.value - end) < 2.0 * std::hypot(w->u_remaining, w->mean.u)) ++inside;
  }
  MESSAGE("ends of a ramp within twice the doubt: " << inside << " of 40");
  CHECK(inside >= 34);
}

TEST_CASE("creep at the edge is called settled no more often than the confidence allows") {
  int settled = 0;
  for (unsigned seed = 1; seed <= 100; ++seed) {
    Readings r = course(600, 0, 150, 0.3, 3, 900 + seed);
    for (std::size_t i = 0; i < r.y.size(); ++i) r.y[i] += 0.1 / 60 * r.t[i];
    settled += steady_window(r.t, r.y, {})->settled ? 1 : 0;
  }
  MESSAGE("called settled at the edge: ", settled, " of 100");
  CHECK(settled <= 10);  // 5 are expected
}

TEST_CASE("a creep within what is allowed leaves its doubt") {
  Readings r = course(1800, 0, 150, 0.1);
  for (std::size_t i = 0; i < r.y.size(); ++i) r.y[i] += 0.05 / 60 * r.t[i];
  const auto w = steady_window(r.t, r.y, {});
  REQUIRE(w);
  CHECK(w->settled);
  CHECK(w->creep == doctest::Approx(0.05 / 60).epsilon(0.2));
  CHECK(w->u_remaining > 0.1);
}

TEST_CASE("in noise and a short step steadiness cannot be told") {
  const Readings r = course(70, 0, 150, 0.7, 5);
  const auto w = steady_window(r.t, r.y, {});
  REQUIRE(w);
  CHECK(!w->settled);
  CHECK(w->why.find("cannot be excluded") != std::string::npos);
}

TEST_CASE("slow swings and noise that changes are not steady") {
  Readings swing = course(1200, 0, 150, 0.05);
  for (std::size_t i = 0; i < swing.y.size(); ++i) {
    swing.y[i] += 2.0 * std::sin(2 * 3.14159265 * swing.t[i] / 400);
  }
  CHECK(!steady_window(swing.t, swing.y, {})->settled);
  Readings louder = course(300, 0, 150, 0.1);
  for (std::size_t i = 240; i < louder.y.size(); ++i) louder.y[i] += i % 2 == 0 ? 1.0 : -1.0;
  const auto w = steady_window(louder.t, louder.y, {.creep = 1.0, .shortest = 110});
  REQUIRE(w);
  CHECK(!w->settled);
  CHECK(w->why == "its noise changes");
}

TEST_CASE("undithered rounding hides creep: a flat reading must be flat for long") {
  const Readings r = course(200, 0, 150, 0.0);
  CHECK(steady_window(r.t, r.y, {})->settled);
  CHECK(!steady_window(r.t, r.y, {.rounding = 0.29})->settled);
  const Readings longer = course(900, 0, 150, 0.0);
  CHECK(steady_window(longer.t, longer.y, {.rounding = 0.29})->settled);
}

TEST_CASE("too short, too few, with a hole") {
  const Readings r = course(50, 0, 150, 0.1);
  CHECK(!steady_window(r.t, r.y, {}));
  CHECK(!steady_window(std::vector<double>{0, 100, 200}, std::vector<double>{1, 1, 1}, {}));
  CHECK(!steady_window(std::vector<double>{}, std::vector<double>{}, {}));
  Readings hole = course(900, 0, 150, 0.1);
  hole.t.erase(hole.t.begin() + 20, hole.t.begin() + 890);
  hole.y.erase(hole.y.begin() + 20, hole.y.begin() + 890);
  const auto w = steady_window(hole.t, hole.y, {});
  REQUIRE(w);
  CHECK(!w->settled);
}

TEST_CASE("the slow end of a step") {
  const Readings one = course(1500, 30, 200, 0.1);
  const SlowEnd end = slow_end_of(one.t, one.y);
  CHECK(end.lag == doctest::Approx(200).epsilon(0.08));
  // What is left at 1000 s, of the closed form, a mean over 100 s.
  const double left = 30 * 200 / 100.0 * (std::exp(-5.0) - std::exp(-5.5));
  CHECK(-end.remaining(1000, 1100) == doctest::Approx(left).epsilon(0.25));
  Readings two = course(2000, 12, 250, 0.1);
  for (std::size_t i = 0; i < two.y.size(); ++i) two.y[i] -= 18 * std::exp(-two.t[i] / 15);
  CHECK(slow_end_of(two.t, two.y).lag == doctest::Approx(250).epsilon(0.12));
  const Readings flat = course(600, 0, 150, 0.3);
  CHECK(slow_end_of(flat.t, flat.y).left == 0.0);
  CHECK(slow_end_of(flat.t, flat.y).remaining(0, 100) == 0.0);
  CHECK(slow_end_of(std::vector<double>{}, std::vector<double>{}).lag == 0.0);
}

}  // namespace
}  // namespace libloop
