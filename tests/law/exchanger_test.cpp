#include "libloop/law/exchanger.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

// Heat of one row per kelvin between the entering streams.
double row_heat(double air, double coolant, double ua) {
  const double k = row_conductance(air, ua);
  return k / mean_to_inlet(k / coolant);
}

TEST_CASE("one row of tubes: handbook effectiveness") {
  const char* source = "Kays & London 1984, C_max mixed (from memory; recomputed)";
  const auto unmixed_smaller = [](double ntu, double ratio) {
    return row_heat(1.0, 1.0 / ratio, ntu);
  };
  published("C_max mixed, N 1 C 0.5", source, 0.541969, unmixed_smaller(1.0, 0.5), 2e-6);
  published("C_max mixed, N 2 C 0.25", source, 0.777594, unmixed_smaller(2.0, 0.25), 1e-6);
  published("C_max mixed, N 5 C 0.7", source, 0.715810, unmixed_smaller(5.0, 0.7), 1e-6);
  const char* mirror = "Kays & London 1984, C_min mixed (from memory; recomputed)";
  const auto unmixed_larger = [](double ntu, double ratio) {
    return row_heat(1.0 / ratio, 1.0, ntu);
  };
  published("C_min mixed, N 1 C 0.5", mirror, 0.544764, unmixed_larger(1.0, 0.5), 1e-6);
  published("C_min mixed, N 2 C 0.25", mirror, 0.792760, unmixed_larger(2.0, 0.25), 1e-6);
  published("C_min mixed, N 5 C 0.7", mirror, 0.749784, unmixed_larger(5.0, 0.7), 1e-6);
  published("effectiveness of one stream, N 1, C to 0", "1 - exp(-N) (exact)", 1.0 - std::exp(-1.0),
            row_heat(1.0, 1e12, 1.0), 1e-11);
}

TEST_CASE("Holman: steam heats oil in cross flow") {
  const char* source = "Holman, Heat Transfer, Ex. 10-9 (known through a transcription)";
  const double oil = 0.725 * 1900.0;
  const double steam = 5.2 * 1860.0;
  const double heat = row_heat(oil, steam, 275.0 * 10.82) * (130.0 - 15.0);
  published("cross flow, oil unmixed: heat, W", source, 131675.3, heat, 1e-6);
  published("cross flow, oil unmixed: oil outlet, C", source, 110.590, 15.0 + heat / oil, 1e-5);
  published("cross flow, oil unmixed: steam outlet, C", source, 116.386, 130.0 - heat / steam,
            1e-5);
}

TEST_CASE("conductance of a row: limits and derivatives") {
  for (const double air : {0.0, 1e-300, 1e-6, 1.0, 1e9}) {
    const Gradient k = row_conductance(Gradient::variable(air, 0), Gradient::variable(50.0, 1));
    CHECK(k.value <= std::min(air, 50.0));
    CHECK(k.slope[0] >= 0.0);
    CHECK(k.slope[0] <= 1.0);
    CHECK(k.slope[1] >= 0.0);
    CHECK(k.slope[1] <= 1.0);
  }
  const double h = 1e-5;
  const Gradient k = row_conductance(Gradient::variable(40.0, 0), Gradient::variable(50.0, 1));
  CHECK(k.slope[0] ==
        doctest::Approx((row_conductance(40 + h, 50.0) - row_conductance(40 - h, 50.0)) / (2 * h))
            .epsilon(1e-8));
  CHECK(k.slope[1] ==
        doctest::Approx((row_conductance(40.0, 50 + h) - row_conductance(40.0, 50 - h)) / (2 * h))
            .epsilon(1e-8));
  CHECK(row_conductance(1e9, 50.0) == doctest::Approx(50.0).epsilon(1e-7));
}

TEST_CASE("mean to outlet and inlet: smooth at zero, no overflow") {
  for (const double n :
       {-1e8, -3.0, -0.05, -1e-9, 0.0, 1e-9, 0.04999999, 0.05000001, 2.0, 800.0, 1e8}) {
    const Dual<1> outlet = mean_to_outlet(Dual<1>::variable(n, 0));
    CHECK(std::isfinite(outlet.value));
    CHECK(std::isfinite(outlet.slope[0]));
    CHECK(outlet.slope[0] <= 0.0);
    CHECK(outlet.slope[0] >= -1.0);
    if (std::abs(n) < 1.0 && n != 0.0) {
      CHECK(outlet.value == doctest::Approx(n / std::expm1(n)).epsilon(1e-15));
      const double step = 1e-5;
      const double difference = (mean_to_outlet(n + step) - mean_to_outlet(n - step)) / (2 * step);
      CHECK(outlet.slope[0] == doctest::Approx(difference).epsilon(1e-9));
    }
  }
  CHECK(mean_to_outlet(0.0) == 1.0);
  CHECK(mean_to_inlet(0.0) == 1.0);
  CHECK(mean_to_inlet(1e8) == 1e8);
  CHECK(mean_to_inlet(2.0) == doctest::Approx(2.0 / (1.0 - std::exp(-2.0))).epsilon(1e-15));
}

TEST_CASE("bypass: the conductance gives the heat of both parts") {
  for (const double share : {0.001, 0.1, 0.7}) {
    for (const double capacity : {0.5, 10.0, 1e3}) {
      const double surface = 20.0;
      const double beside = 3.0;
      const double k = bypassed_conductance(surface, capacity, share, beside);
      const double through = (1.0 - share) * capacity;
      const double heat = through * -std::expm1(-surface / through) +
                          share * capacity * -std::expm1(-beside / capacity);
      CHECK(capacity * -std::expm1(-k / capacity) == doctest::Approx(heat).epsilon(1e-12));
    }
  }
}

TEST_CASE("bypass: finite and continuous down to zero flow, on both sides") {
  for (const double beside : {3.0, 90.0}) {
    for (const double capacity : {0.0, 1e-20, 1e-6}) {
      const Gradient k =
          bypassed_conductance(Gradient::variable(20.0, 0), Gradient::variable(capacity, 1),
                               Gradient::variable(0.2, 2), Gradient::variable(beside, 3));
      CHECK(k.value == doctest::Approx(std::min(beside, 25.0)).epsilon(1e-6));
      for (const double slope : k.slope) CHECK(std::isfinite(slope));
    }
  }
  const double left = bypassed_conductance(20.0, 5.0, 0.2, 25.0 - 1e-9);
  const double right = bypassed_conductance(20.0, 5.0, 0.2, 25.0 + 1e-9);
  CHECK(left == doctest::Approx(right).epsilon(1e-9));
}

// Two passes behind each other, coolant entering the back row at excess 1 and passing on
// to the front row, the tubes cut into cells.
struct Core {
  double air = 1.0;
  double coolant = 2.0;
  double front_ua = 1.0;
  double back_ua = 1.0;
  int front_direction = -1;  // the back row runs +1
  bool known_inlet = false;
  std::size_t cells = 1;

  std::size_t unknowns() const { return 2 * cells; }

  CoolantRow<double> row(double ua, int direction, double mean) const {
    const double share = 1.0 / static_cast<double>(cells);
    return {row_conductance(air * share, ua * share), coolant, direction, mean};
  }

  // Energy balance of every cell of both streams; `mean` holds back cells, then front
  // cells, both in the order of x. Also adds up heats.
  std::vector<double> balance(const std::vector<double>& mean, double entering, double& heat,
                              double& air_heat) const {
    std::vector<double> residual(unknowns());
    const double cell_air = air / static_cast<double>(cells);
    std::vector<TwoRows<double>> answer(cells);
    const auto index = [&](std::size_t step) {
      return front_direction > 0 ? step : cells - 1 - step;
    };
    const auto solve = [&](std::size_t i, double front_inlet) {
      const CoolantRow<double> front = row(front_ua, front_direction, mean[cells + i]);
      const CoolantRow<double> back = row(back_ua, 1, mean[i]);
      return known_inlet ? two_rows(cell_air, front, back, front_inlet)
                         : two_rows(cell_air, front, back);
    };
    for (std::size_t i = 0; i < cells; ++i) answer[i] = solve(i, 0.0);
    if (known_inlet) {
      REQUIRE(front_direction < 0);
      // Back outlets depend on front inlets: they are the front outlets of the neighbours,
      // and at the far end the back outlet itself.
      for (std::size_t i = 0; i + 1 < cells; ++i) {
        answer[i] = solve(i, answer[i + 1].front.outlet);
      }
      const double at_zero = answer[cells - 1].back.outlet;
      const double gain = solve(cells - 1, 1.0).back.outlet - at_zero;
      answer[cells - 1] = solve(cells - 1, at_zero / (1.0 - gain));
    }
    double inlet = entering;
    for (std::size_t i = 0; i < cells; ++i) {
      residual[i] = coolant * (inlet - answer[i].back.outlet) - answer[i].back.heat;
      inlet = answer[i].back.outlet;
    }
    for (std::size_t step = 0; step < cells; ++step) {
      const RowAnswer<double>& front = answer[index(step)].front;
      residual[cells + index(step)] = coolant * (inlet - front.outlet) - front.heat;
      inlet = front.outlet;
    }
    heat = 0.0;
    air_heat = 0.0;
    for (const TwoRows<double>& cell : answer) {
      heat += cell.front.heat + cell.back.heat;
      air_heat += cell_air * cell.air_outlet;
    }
    CHECK(heat == doctest::Approx(air_heat).epsilon(1e-12));
    return residual;
  }

  // The balance is linear in the means: build it column by column and eliminate.
  double steady_heat() const;
};

std::vector<double> eliminate(std::vector<std::vector<double>> rows) {
  const std::size_t n = rows.size();
  for (std::size_t k = 0; k < n; ++k) {
    std::size_t pivot = k;
    for (std::size_t i = k; i < n; ++i) {
      if (std::abs(rows[i][k]) > std::abs(rows[pivot][k])) pivot = i;
    }
    std::swap(rows[k], rows[pivot]);
    for (std::size_t i = 0; i < n; ++i) {
      if (i == k) continue;
      const double factor = rows[i][k] / rows[k][k];
      if (factor == 0.0) continue;
      for (std::size_t j = k; j <= n; ++j) rows[i][j] -= factor * rows[k][j];
    }
  }
  std::vector<double> x(n);
  for (std::size_t i = 0; i < n; ++i) x[i] = rows[i][n] / rows[i][i];
  return x;
}

double Core::steady_heat() const {
  const std::size_t n = unknowns();
  double heat = 0.0;
  double air_heat = 0.0;
  std::vector<std::vector<double>> rows(n, std::vector<double>(n + 1));
  for (std::size_t j = 0; j < n; ++j) {
    std::vector<double> unit(n, 0.0);
    unit[j] = 1.0;
    const std::vector<double> column = balance(unit, 0.0, heat, air_heat);
    for (std::size_t i = 0; i < n; ++i) rows[i][j] = column[i];
  }
  const std::vector<double> constant = balance(std::vector<double>(n, 0.0), 1.0, heat, air_heat);
  for (std::size_t i = 0; i < n; ++i) rows[i][n] = -constant[i];
  balance(eliminate(rows), 1.0, heat, air_heat);
  return heat;
}

TEST_CASE("two rows in overall counterflow: coil formula") {
  const char* source =
      "Nicole 1972, two rows, counterflow coil (known through a transcription; recomputed)";
  Core core{.air = 1.0, .coolant = 2.0, .front_ua = 1.0, .back_ua = 1.0};
  published("two-row coil, NTU 2 R 0.5", source, 0.752307, core.steady_heat(), 1e-6);
  core = {.air = 1.0, .coolant = 1.0 / 0.3, .front_ua = 0.75, .back_ua = 0.75};
  published("two-row coil, NTU 1.5 R 0.3", source, 0.717259, core.steady_heat(), 1e-6);
}

TEST_CASE("two rows: any number of cells gives the same heat") {
  for (const int direction : {-1, 1}) {
    for (const double coolant : {0.1, 2.0, 50.0}) {
      Core core{.coolant = coolant, .front_ua = 1.3, .back_ua = 0.6, .front_direction = direction};
      const double whole = core.steady_heat();
      for (const std::size_t cells : {2, 8, 64}) {
        core.cells = cells;
        CHECK(core.steady_heat() == doctest::Approx(whole).epsilon(1e-12));
      }
      core.known_inlet = direction < 0;
      core.cells = 8;
      CHECK(core.steady_heat() == doctest::Approx(whole).epsilon(1e-12));
    }
  }
}

// Reference: the two rows marched along the tube in small steps (fourth order).
TEST_CASE("two rows: outlets agree with integration along the tube") {
  const double air = 3.0;
  const double e1 = 0.6;
  const double e2 = 0.45;
  for (const int front_direction : {1, -1}) {
    const double n1 = e1 * air / 1.5;
    const double n2 = e2 * air / 0.8;
    const int steps = 20000;
    const double h = 1.0 / steps;
    double back = 0.7;
    double front_mean = 0.0;
    double back_mean = 0.0;
    const auto front_at = [&](double x) {
      return std::exp(-n1 * (front_direction > 0 ? x : 1.0 - x));
    };
    for (int i = 0; i < steps; ++i) {
      const double x = i * h;
      const auto rate = [&](double at, double t) { return -n2 * (t - e1 * front_at(at)); };
      const double k1 = rate(x, back);
      const double k2 = rate(x + 0.5 * h, back + 0.5 * h * k1);
      const double k3 = rate(x + 0.5 * h, back + 0.5 * h * k2);
      const double k4 = rate(x + h, back + h * k3);
      const double next = back + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
      back_mean += 0.5 * h * (back + next) - h * h / 12.0 * (rate(x + h, next) - k1);
      front_mean += h * front_at(x + 0.5 * h);
      back = next;
    }
    const CoolantRow<double> front_row{e1 * air, 1.5, front_direction, front_mean};
    const CoolantRow<double> back_row{e2 * air, 0.8, 1, back_mean};
    const TwoRows<double> rows = two_rows(air, front_row, back_row);
    CHECK(rows.back.outlet == doctest::Approx(back).epsilon(1e-8));
    CHECK(rows.front.outlet == doctest::Approx(std::exp(-n1)).epsilon(1e-8));
    CHECK(rows.front.heat + rows.back.heat == doctest::Approx(air * rows.air_outlet));
  }
}

TEST_CASE("two rows: finite with finite slopes at zero flow of air, coolant or both") {
  for (const int direction : {-1, 1}) {
    for (const double air : {0.0, 1e-6, 30.0}) {
      for (const double coolant : {0.0, 1e-8, 40.0}) {
        const Gradient c_air = Gradient::variable(air, 0);
        const Gradient c = Gradient::variable(coolant, 1);
        const Gradient k = row_conductance(c_air, Gradient::variable(20.0, 2));
        const CoolantRow<Gradient> front{k, c, direction, Gradient::variable(12.0, 3)};
        const CoolantRow<Gradient> back{k, c, 1, Gradient::variable(15.0, 4)};
        const TwoRows<Gradient> rows = two_rows(c_air, front, back, Gradient::variable(14.0, 5));
        for (const Gradient& x : {rows.front.outlet, rows.front.heat, rows.back.outlet,
                                  rows.back.heat, rows.air_outlet}) {
          CHECK(std::isfinite(x.value));
          CHECK(std::abs(x.value) < 1e3);
          for (const double slope : x.slope) CHECK(std::isfinite(slope));
        }
      }
    }
  }
}

TEST_CASE("two rows: what enters the front row moves nothing that exchanges nothing") {
  for (const int direction : {-1, 1}) {
    const double air = 1e-6;  // as good as none; the front row heats it through
    const CoolantRow<double> front{air, 50.0, direction, 12.0}, back{air, 50.0, 1, 15.0};
    for (const double inlet : {12.0, 40.0, -5.0}) {
      const TwoRows<double> rows = two_rows(air, front, back, inlet);
      CHECK(rows.back.outlet == doctest::Approx(15.0).epsilon(1e-6));
      CHECK(rows.back.heat == doctest::Approx(air * 3.0));
    }
    // Coolant that stands carries nothing away, though its means stay up.
    const CoolantRow<double> still{20.0, 4e-6, direction, 12.0}, still_back{20.0, 4e-6, 1, 15.0};
    CHECK(std::abs(two_rows(30.0, still, still_back, 13.0).back.outlet) < 13.0);
  }
}

TEST_CASE("two rows: equal and nearly equal transfer units agree") {
  const double air = 2.0;
  const CoolantRow<double> front{1.0, 1.0, 1, 5.0};
  for (const double shift : {1e-12, -1e-9, 1e-7}) {
    const CoolantRow<double> same{1.0, 1.0, 1, 6.0};
    const CoolantRow<double> near{1.0, 1.0 + shift, 1, 6.0};
    CHECK(two_rows(air, front, near).back.outlet ==
          doctest::Approx(two_rows(air, front, same).back.outlet).epsilon(1e-6));
  }
}

}  // namespace
}  // namespace libloop::law
