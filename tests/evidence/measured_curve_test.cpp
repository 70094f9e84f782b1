#include "libloop/evidence/measured_curve.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "support/published.hpp"

namespace libloop::evidence {
namespace {

double approx_rise(double n, double load) { return (0.1 + 0.05 / n) * load + 2e-4 * load * load; }
double approx_level(double n) { return 40.0 + 21.7 * std::log(n); }

std::vector<UsedPoint> grid(const std::vector<double>& speeds, const std::vector<double>& loads) {
  std::vector<UsedPoint> points;
  for (const double load : loads) {
    for (const double n : speeds) {
      points.push_back({.load = load,
                        .speed = n,
                        .rise = approx_rise(n, load),
                        .u = 0.2,
                        .level = approx_level(n)});
    }
  }
  return points;
}

struct Curves {
  explicit Curves(const std::vector<UsedPoint>& points)
      : layout(lay_out(points)), curves(layout, rises(points)) {}
  static std::vector<double> rises(const std::vector<UsedPoint>& points) {
    std::vector<double> out;
    for (const UsedPoint& one : points) out.push_back(one.rise);
    return out;
  }
  RiseLayout layout;
  RiseCurves curves;
};

bool close(double got, double expected, double relative = 1e-12) {
  return std::abs(got - expected) <= relative * std::abs(expected);
}

}  // namespace

TEST_CASE("rise is exact for (a + b/n) P + c P^2, between points and a little beyond") {
  const Curves made(grid({0.3, 0.45, 0.7, 1.0}, {90, 180, 260}));
  for (const double n : {0.28, 0.3, 0.37, 0.6, 0.93, 1.0, 1.08}) {
    for (const double load : {83.0, 90.0, 120.0, 180.0, 222.0, 260.0, 280.0}) {
      CAPTURE(n);
      CAPTURE(load);
      const auto read = made.curves.at(n, load);
      REQUIRE(read);
      CHECK(close(read->rise, approx_rise(n, load)));
      CHECK(read->beyond == (n < 0.29 || n > 1.02 || load < 85 || load > 270));
      CHECK(read->doubt >= 0.0);
    }
  }
  CHECK_FALSE(made.curves.at(0.26, 180));
  CHECK_FALSE(made.curves.at(1.11, 180));
  CHECK_FALSE(made.curves.at(0.5, 287));
  CHECK_FALSE(made.curves.at(0.5, 80));
}

TEST_CASE("at measured points there is no doubt from reading between them") {
  const Curves made(grid({0.3, 0.45, 0.7, 1.0}, {90, 180}));
  CHECK(made.curves.at(0.45, 180)->doubt < 1e-12);
  CHECK(made.curves.at(0.45, 130)->doubt > 1e-3);  // rise bends with load
  const Curves two(grid({0.4, 1.0}, {180}));
  CHECK(two.curves.at(0.6, 180)->doubt > 0.1);  // two points do not tell how it bends
}

TEST_CASE("one load is scaled in proportion within 10 %, with a doubt") {
  const Curves made(grid({0.4, 1.0}, {200}));
  const auto read = made.curves.at(1.0, 190);
  REQUIRE(read);
  CHECK(close(read->rise, 0.95 * approx_rise(1.0, 200)));
  CHECK(read->scaled == 200.0);
  CHECK(read->beyond);
  CHECK(close(read->doubt, 0.1 * (approx_rise(1.0, 200) - read->rise), 1e-9));
  CHECK_FALSE(made.curves.at(1.0, 179));
  CHECK(made.curves.at(1.0, 202)->scaled == 0.0);  // a reading of the same setting
}

TEST_CASE("ragged tables: loads that reach the speed are used, others are passed over") {
  std::vector<UsedPoint> points = grid({0.4, 0.7, 1.0}, {100, 250});
  points.push_back({.load = 180, .speed = 1.0, .rise = approx_rise(1.0, 180), .u = 0.2});
  const Curves made(points);
  CHECK(close(made.curves.at(1.0, 180)->rise, approx_rise(1.0, 180)));
  CHECK(close(made.curves.at(0.5, 180)->rise, approx_rise(0.5, 180)));
  const auto solved = made.curves.speed_at(approx_rise(0.55, 180), 180);
  REQUIRE(solved.speed);
  CHECK(close(*solved.speed, 0.55));
}

TEST_CASE("equal rise is solved exactly, and told where it cannot be") {
  const Curves made(grid({0.3, 0.45, 0.7, 1.0}, {90, 180, 260}));
  for (const double n : {0.29, 0.3, 0.41, 0.7, 0.88, 1.0, 1.05}) {
    CAPTURE(n);
    const auto solved = made.curves.speed_at(approx_rise(n, 150), 150);
    REQUIRE(solved.speed);
    CHECK(close(*solved.speed, n));
  }
  CHECK(made.curves.speed_at(200, 150).read);
  CHECK(made.curves.speed_at(200, 150).too_cool);
  CHECK_FALSE(made.curves.speed_at(5, 150).speed);
  CHECK_FALSE(made.curves.speed_at(5, 150).too_cool);
  CHECK_FALSE(made.curves.speed_at(40, 400).read);
  CHECK_FALSE(Curves(grid({1.0}, {180})).curves.speed_at(30, 180).read);
}

TEST_CASE("level and equal noise are exact along a + b ln n") {
  const LevelCurve curve(grid({0.3, 0.45, 0.7, 1.0}, {180}));
  for (const double n : {0.28, 0.3, 0.5, 0.7, 0.99, 1.07}) {
    CAPTURE(n);
    CHECK(close(curve.at(n)->level, approx_level(n)));
    CHECK(curve.at(n)->beyond == (n < 0.29 || n > 1.02));
    const auto solved = curve.speed_at(approx_level(n));
    REQUIRE(solved.speed);
    CHECK(close(*solved.speed, n));
  }
  CHECK_FALSE(curve.at(1.2));
  CHECK_FALSE(curve.speed_at(approx_level(1.2)).speed);
  CHECK_FALSE(curve.speed_at(approx_level(0.2)).speed);
  CHECK(close(curve.speed_at(50).loudest, 40.0));
}

// AMCA 301's form of the fan law, from memory: 50 log10 of the ratio of speeds. Two readings tell
// the third.
TEST_CASE("level between two speeds follows the fan sound law") {
  std::vector<UsedPoint> points = grid({0.5, 1.0}, {180});
  points[1].level = 40.0;
  points[0].level = 40.0 - 50.0 * std::log10(2.0);
  testing::published("level at 75 % speed between 50 and 100 %, 40 dBA at 100 %",
                     "AMCA 301, 50 log10(n2/n1), from memory", 40.0 - 6.246937,  // 50 log10(4/3)
                     LevelCurve(points).at(0.75)->level, 1e-6);
}

TEST_CASE("bounds of noise are never values") {
  std::vector<UsedPoint> points = grid({0.3, 0.5, 0.7, 1.0}, {180});
  points[0].level_bound = points[1].level_bound = true;
  points[0].level = 28.0;
  points[1].level = 28.5;
  const LevelCurve curve(points);
  REQUIRE(curve.measured().size() == 2);
  CHECK(curve.at(0.5)->bound);
  CHECK(curve.at(0.5)->level == 28.5);
  CHECK(curve.at(0.4)->bound);
  CHECK(curve.at(0.4)->level == 28.5);  // slower than 50 %, so no louder
  CHECK_FALSE(curve.at(0.66)->bound);
  CHECK(curve.at(0.66)->beyond);
  CHECK_FALSE(curve.at(0.6));
  CHECK_FALSE(curve.speed_at(28.5).speed);
  CHECK_FALSE(LevelCurve(std::vector<UsedPoint>{}).at(1.0));
}

TEST_CASE("of several speeds with one level the fastest counts") {
  std::vector<UsedPoint> points = grid({0.4, 0.6, 0.8, 1.0}, {180});
  points[0].level = 30.0;
  points[1].level = 36.0;  // a tone
  points[2].level = 33.0;
  points[3].level = 40.0;
  const auto solved = LevelCurve(points).speed_at(35.0);
  REQUIRE(solved.speed);
  CHECK(*solved.speed > 0.8);
}

TEST_CASE("runs that the chip's limit ended are bounds") {
  std::vector<UsedPoint> points = grid({0.4, 0.7, 1.0}, {100, 180});
  points.push_back({.load = 250, .speed = 0.7, .rise = 60, .u = 0.3, .held = false});
  points.push_back({.load = 250, .speed = 1.0, .rise = 58, .u = 0.3, .held = false});
  const Curves made(points);
  CHECK_FALSE(made.curves.at(0.7, 250));
  REQUIRE(made.curves.bound_at(0.7, 250));
  CHECK(made.curves.bound_at(0.7, 250)->rise == 60.0);
  CHECK(made.curves.bound_at(0.95, 255)->rise == 58.0);
  CHECK_FALSE(made.curves.bound_at(0.5, 250));
  CHECK_FALSE(made.curves.bound_at(0.7, 180));
}

TEST_CASE("repeats of one setting are averaged") {
  std::vector<UsedPoint> points = grid({0.5, 1.0}, {180});
  for (const UsedPoint& one : grid({0.5, 1.0}, {180})) points.push_back(one);
  points[0].rise += 1.0;
  const Curves made(points);
  CHECK(made.layout.cells.size() == 2);
  CHECK(close(made.curves.at(0.5, 180)->rise, approx_rise(0.5, 180) + 0.5));
}

TEST_CASE("one point, and none") {
  const Curves one(grid({1.0}, {180}));
  CHECK(close(one.curves.at(1.0, 180)->rise, approx_rise(1.0, 180)));
  CHECK_FALSE(one.curves.at(0.9, 180));
  const Curves none(std::vector<UsedPoint>{});
  CHECK_FALSE(none.curves.at(1.0, 180));
  CHECK_FALSE(none.curves.speed_at(30, 180).speed);
}

}  // namespace libloop::evidence
