#include "libloop/law/turbomachine.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <utility>

#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

Characteristic<double> fan(double shape, double dip) {
  Characteristic<double> curve;
  curve.shape = shape;
  curve.dip = dip;
  return curve;
}

constexpr std::array<double, 5> table_x = {0.0, 0.25, 0.5, 0.75, 1.0};
constexpr std::array<double, 5> table_g = {1.0, 0.88, 0.7, 0.4, 0.0};
const MonotoneCurve table_curve(table_x, table_g);

template <class Check>
void over_curves(const Check& check) {
  for (const double shape : {0.5, 0.7, 1.0}) {
    for (const double dip : {0.0, 0.03, 0.06}) check(fan(shape, dip));
    Characteristic<double> pump = fan(shape, 0.0);
    pump.kind = CurveKind::pump;
    check(pump);
  }
  Characteristic<double> table;
  table.kind = CurveKind::table;
  table.table = &table_curve;
  check(table);
}

TEST_CASE("characteristic starts at shut-off and ends at free flow") {
  over_curves([](const Characteristic<double>& curve) {
    CHECK(characteristic(curve, 0.0) == doctest::Approx(1.0).epsilon(1e-15));
    CHECK(std::abs(characteristic(curve, 1.0)) < 1e-15);
  });
}

TEST_CASE("rise falls strictly with flow, at any speed and in any direction") {
  over_curves([](const Characteristic<double>& curve) {
    for (const double speed : {0.0, 0.05, 0.3, 1.0}) {
      double before = machine_rise(curve, -0.5, speed);
      for (int i = 1; i <= 500; ++i) {
        const double rise = machine_rise(curve, -0.5 + 0.005 * i, speed);
        CHECK(rise < before);
        before = rise;
      }
    }
  });
}

TEST_CASE("pieces of the rise meet in value and slope") {
  over_curves([](const Characteristic<double>& curve) {
    for (const double speed : {0.05, 0.3, 1.0}) {
      for (const double join : {0.0, speed}) {
        const double step = 1e-9;
        const Dual<1> left = machine_rise(curve, Dual<1>::variable(join - step, 0), speed);
        const Dual<1> right = machine_rise(curve, Dual<1>::variable(join + step, 0), speed);
        CHECK(left.value == doctest::Approx(right.value).epsilon(1e-6));
        CHECK(left.slope[0] == doctest::Approx(right.slope[0]).epsilon(1e-6));
      }
    }
  });
}

TEST_CASE("a stopped machine is a resistance") {
  over_curves([](const Characteristic<double>& curve) {
    for (const double y : {-1.0, -0.2, 0.0, 0.3, 2.0}) {
      CHECK(machine_rise(curve, y, 0.0) == doctest::Approx(-curve.resistance * y * std::abs(y)));
    }
  });
}

TEST_CASE("rise has finite slopes everywhere, standstill included") {
  for (const double exponent : {1.9, 2.0, 2.2}) {
    for (const double speed : {0.0, 1e-300, 1e-12, 0.4}) {
      for (const double y : {-1.0, 0.0, 1e-13, 0.2, 1.0}) {
        Characteristic<Gradient> curve;
        curve.shape = Gradient::variable(0.7, 2);
        curve.dip = Gradient::variable(0.02, 3);
        curve.exponent = Gradient::variable(exponent, 4);
        const Gradient rise =
            machine_rise(curve, Gradient::variable(y, 0), Gradient::variable(speed, 1));
        CHECK(std::isfinite(rise.value));
        for (const double slope : rise.slope) CHECK(std::isfinite(slope));
      }
    }
  }
}

TEST_CASE("derivatives of the rise agree with differences, for all mixes of scalars") {
  const auto curve_at = [](double shape, double dip, double exponent) {
    Characteristic<double> curve = fan(shape, dip);
    curve.exponent = exponent;
    return curve;
  };
  for (const double y : {-0.3, 0.3, 0.9}) {
    Characteristic<Gradient> curve;
    curve.shape = Gradient::variable(0.7, 0);
    curve.dip = Gradient::variable(0.03, 1);
    curve.exponent = Gradient::variable(2.1, 2);
    const Gradient rise = machine_rise(curve, Gradient::variable(y, 3), Gradient::variable(0.6, 4));
    const double h = 1e-6;
    const auto difference = [&](double shape, double dip, double exponent, double flow, double s) {
      const double up =
          machine_rise(curve_at(0.7 + shape, 0.03 + dip, 2.1 + exponent), y + flow, 0.6 + s);
      const double down =
          machine_rise(curve_at(0.7 - shape, 0.03 - dip, 2.1 - exponent), y - flow, 0.6 - s);
      return doctest::Approx((up - down) / (2.0 * h)).epsilon(1e-6);
    };
    CHECK(rise.slope[0] == difference(h, 0, 0, 0, 0));
    CHECK(rise.slope[1] == difference(0, h, 0, 0, 0));
    CHECK(rise.slope[2] == difference(0, 0, h, 0, 0));
    CHECK(rise.slope[3] == difference(0, 0, 0, h, 0));
    CHECK(rise.slope[4] == difference(0, 0, 0, 0, h));
    const Gradient flow_only =
        machine_rise(curve_at(0.7, 0.03, 2.1), Gradient::variable(y, 3), 0.6);
    CHECK(flow_only.slope[3] == doctest::Approx(rise.slope[3]).epsilon(1e-13));
    const Gradient rest = machine_rise(curve, y, Gradient::variable(0.6, 4));
    CHECK(rest.slope[4] == doctest::Approx(rise.slope[4]).epsilon(1e-13));
    CHECK(rest.value == doctest::Approx(rise.value).epsilon(1e-15));
  }
}

Characteristic<double> drooping_pump(double shape) {
  Characteristic<double> pump = fan(shape, 0.0);
  pump.kind = CurveKind::pump;
  return pump;
}

// A dip between falling parts, and a droop at shut-off.
constexpr std::array<double, 5> dipped_g = {1.0, 0.6, 0.75, 0.5, 0.0};
constexpr std::array<double, 5> drooped_g = {1.0, 1.2, 1.0, 0.5, 0.0};
const MonotoneCurve dipped_curve(table_x, dipped_g);
const MonotoneCurve drooped_curve(table_x, drooped_g);

Characteristic<double> table_of_points(const MonotoneCurve& points) {
  Characteristic<double> curve;
  curve.kind = CurveKind::table;
  curve.table = &points;
  return curve;
}

TEST_CASE("curves that rise in part meet in value and slope as well") {
  for (const Characteristic<double>& curve :
       {drooping_pump(-0.5), drooping_pump(-2.0), fan(-0.5, 0.04), fan(0.7, 0.25),
        table_of_points(dipped_curve), table_of_points(drooped_curve)}) {
    for (const double speed : {0.05, 0.3, 1.0}) {
      for (const double join : {0.0, speed}) {
        const double step = 1e-9;
        const Dual<1> left = machine_rise(curve, Dual<1>::variable(join - step, 0), speed);
        const Dual<1> right = machine_rise(curve, Dual<1>::variable(join + step, 0), speed);
        CHECK(left.value == doctest::Approx(right.value).epsilon(1e-6));
        CHECK(left.slope[0] == doctest::Approx(right.slope[0]).epsilon(1e-5));
      }
    }
  }
}

TEST_CASE("a drooping machine never drives backwards, and in the end resists") {
  for (const double loss : {0.01, 1.0}) {
    for (Characteristic<double> curve : {drooping_pump(-0.5), table_of_points(drooped_curve)}) {
      curve.resistance = loss;
      for (const double speed : {0.05, 0.3, 1.0}) {
        for (double y = 0.0; y > -40.0; y -= 0.01) CHECK(machine_rise(curve, y, speed) > 0.0);
        CHECK(machine_rise(curve, -40.0, speed) > machine_rise(curve, -39.0, speed));
        CHECK(machine_rise(curve, -40.0, speed) > machine_rise(curve, 0.0, speed));
      }
      CHECK(machine_rise(curve, -0.5, 0.0) == doctest::Approx(loss * 0.25));
    }
  }
}

TEST_CASE("reverse flow is the same whether a curve just droops or just does not") {
  for (const double y : {-2.0, -0.3}) {
    const auto at = [&](double shape) {
      Characteristic<Gradient> pump;
      pump.kind = CurveKind::pump;
      pump.shape = Gradient::variable(shape, 0);
      return machine_rise(pump, Gradient::variable(y, 1), Gradient::variable(0.5, 2));
    };
    const Gradient falls = at(1e-9), droops = at(-1e-9);
    CHECK(falls.value == doctest::Approx(droops.value).epsilon(1e-8));
    for (std::size_t i = 0; i < 3; ++i) {
      CHECK(falls.slope[i] == doctest::Approx(droops.slope[i]).epsilon(1e-7));
    }
  }
}

TEST_CASE("derivatives of a drooping machine agree with differences, standstill is finite") {
  const auto at = [](double shape, double y, double speed) {
    return machine_rise(drooping_pump(shape), y, speed);
  };
  const double h = 1e-6;
  Characteristic<Gradient> pump;
  pump.kind = CurveKind::pump;
  pump.shape = Gradient::variable(-0.4, 0);
  const Gradient rise = machine_rise(pump, Gradient::variable(-0.3, 1), Gradient::variable(0.6, 2));
  CHECK(rise.slope[0] ==
        doctest::Approx((at(-0.4 + h, -0.3, 0.6) - at(-0.4 - h, -0.3, 0.6)) / (2 * h)));
  CHECK(rise.slope[1] ==
        doctest::Approx((at(-0.4, -0.3 + h, 0.6) - at(-0.4, -0.3 - h, 0.6)) / (2 * h)));
  CHECK(rise.slope[2] ==
        doctest::Approx((at(-0.4, -0.3, 0.6 + h) - at(-0.4, -0.3, 0.6 - h)) / (2 * h)));
  for (const double speed : {0.0, 1e-300, 1e-30, 1e-12, 0.4}) {
    for (const double y : {-1.0, -1e-13, 0.0}) {
      const Gradient still =
          machine_rise(pump, Gradient::variable(y, 1), Gradient::variable(speed, 2));
      CHECK(std::isfinite(still.value));
      for (const double slope : still.slope) CHECK(std::isfinite(slope));
    }
  }
}

TEST_CASE("whether a curve rises anywhere is told") {
  over_curves([](const Characteristic<double>& curve) { CHECK_FALSE(rising(curve)); });
  CHECK_FALSE(rising(drooping_pump(0.0)));
  CHECK_FALSE(rising(drooping_pump(2.0)));
  CHECK(rising(drooping_pump(-0.01)));
  CHECK(rising(table_of_points(dipped_curve)));
  CHECK(rising(table_of_points(drooped_curve)));
  // The depths of dip that docs/theory/fans-and-pumps.md names.
  for (const auto& [shape, deepest] : {std::pair{0.5, 0.076}, {0.7, 0.088}, {1.0, 0.105}}) {
    CHECK_FALSE(rising(fan(shape, deepest - 0.001)));
    CHECK(rising(fan(shape, deepest + 0.001)));
  }
}

TEST_CASE("affinity laws") {
  const char* source = "fan and pump affinity laws (from memory: Bleier 1998, Guelich 2008)";
  const Affinity<double> faster = affinity(1.5, 1.0, 1.0);
  published("fan 1000 to 1500 rpm: flow", source, 1.5, faster.flow, 1e-12);
  published("fan 1000 to 1500 rpm: pressure", source, 2.25, faster.pressure, 1e-12);
  published("fan 1000 to 1500 rpm: power", source, 3.375, faster.power, 1e-12);
  const Affinity<double> larger = affinity(1.0, 2.0, 1.1);
  CHECK(larger.flow == doctest::Approx(8.0));
  CHECK(larger.power == doctest::Approx(1.1 * 32.0));

  Characteristic<double> pump;
  pump.kind = CurveKind::pump;
  published("pump of 2.4 m shut-off at 75 % speed, m", source, 1.35,
            2.4 * machine_rise(pump, 0.0, 0.75), 1e-12);
  const double full = machine_rise(fan(0.7, 0.03), 0.4, 1.0);
  published("fan point (0.4, g) at 150 % speed over 100 %", source, 2.25,
            machine_rise(fan(0.7, 0.03), 0.6, 1.5) / full, 1e-12);
}

TEST_CASE("tip speed and velocity head") {
  const char* source = "u = pi D N and u^2/g (definition)";
  published("tip speed, 25 mm at 2800 rpm, m/s", source, 3.665, tip_speed(0.025, 2800.0 / 60),
            1e-4);
  const double u = tip_speed(0.018, 50.0);
  published("u^2/g, 18 mm at 3000 rpm, m", source, 0.815, u * u / 9.80665, 1e-3);
}

}  // namespace
}  // namespace libloop::law
