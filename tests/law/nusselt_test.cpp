#include "libloop/law/nusselt.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string>

#include "libloop/law/duct.hpp"
#include "libloop/math/dual.hpp"
#include "support/published.hpp"

using namespace libloop;
using namespace libloop::law;
using libloop::testing::published;

namespace {

double petukhov(double reynolds) { return std::pow(0.790 * std::log(reynolds) - 1.64, -2.0); }

// Mean Nu at x* = x / (D_h Re Pr).
double at_x_star(double x_star, double prandtl, double aspect) {
  return nusselt_developing(1.0 / prandtl, prandtl, aspect, x_star);
}

}  // namespace

TEST_CASE("developed Nusselt numbers") {
  struct Row {
    double aspect, table_t, table_h1, own_t, own_h1;
  };
  const Row rows[] = {{1.0, 2.976, 3.608, 2.9775, 3.60795},
                      {0.5, 3.391, 4.123, 3.3923, 4.12330},
                      {0.25, 4.439, 5.331, 4.4405, 5.33107},
                      {0.125, 5.597, 6.490, 5.5937, 6.49035},
                      {0.0, 7.541, 8.235, 7.5407, 8.2353}};
  const char* table = "Shah and London 1978 Table 42, from memory";
  const char* own = "own spectral solution of the energy equation";
  for (const Row& row : rows) {
    const std::string at = fmt::format(" aspect {}", row.aspect);
    published("duct Nu_T" + at, table, row.table_t, nusselt_developed_t(row.aspect), 4e-3);
    published("duct Nu_H1" + at, table, row.table_h1, nusselt_developed_h1(row.aspect), 2e-3);
    published("duct Nu_T, spectral," + at, own, row.own_t, nusselt_developed_t(row.aspect), 4e-3);
    published("duct Nu_H1, spectral," + at, own, row.own_h1, nusselt_developed_h1(row.aspect),
              2e-3);
  }
}

TEST_CASE("Muzychka and Yovanovich as published") {
  const char* source = "Muzychka and Yovanovich 2004, from memory, own evaluation";
  // Square duct: D_h is the root of the area; their developed limit and single-term f·Re.
  const double f_re = 14.132;
  const double developed = 3.24 * f_re / (8.0 * std::sqrt(3.14159265358979323846));
  const auto nusselt = [&](double z) { return muzychka_yovanovich(1.0 / z, 6.0, developed, f_re); };
  published("Nu square Pr 6 z* 0.001", source, 17.5147, nusselt(0.001), 1e-4);
  published("Nu square Pr 6 z* 0.01", source, 7.1376, nusselt(0.01), 1e-4);
  published("Nu square Pr 6 z* 0.1", source, 3.6982, nusselt(0.1), 1e-4);
}

TEST_CASE("developing Nusselt numbers against exact solutions") {
  const double x_star[] = {0.005, 0.01, 0.02, 0.05, 0.1, 0.2};
  struct Column {
    double aspect;
    std::array<double, 6> nusselt;
  };
  const Column columns[] = {{1.0, {8.164, 6.473, 5.192, 4.032, 3.521, 3.250}},
                            {0.5, {8.591, 6.867, 5.580, 4.461, 3.970, 3.688}},
                            {0.25, {9.507, 7.732, 6.463, 5.456, 5.033, 4.772}},
                            {0.125, {10.350, 8.551, 7.329, 6.442, 6.095, 5.889}},
                            {0.0625, {10.921, 9.116, 7.939, 7.135, 6.839, 6.673}}};
  for (const Column& column : columns)
    for (std::size_t i = 0; i < 6; ++i) {
      published(fmt::format("mean Nu_T, Graetz, aspect {} x* {}", column.aspect, x_star[i]),
                "own spectral solution of the Graetz problem", column.nusselt[i],
                at_x_star(x_star[i], 1e6, column.aspect), 0.08);
    }
  const double plates[] = {13.33, 10.69, 9.14, 8.18, 7.85};
  for (std::size_t i = 0; i < 5; ++i)
    published(fmt::format("mean Nu_T, plates, Pr 0.7, marched, x* {}", x_star[i]),
              "own marching solution between plates, 1.5 %", plates[i],
              at_x_star(x_star[i], 0.7, 0.0), 0.08);
  const char* stephan = "Stephan 1959, from memory, own evaluation";
  published("mean Nu_T, plates, Pr 0.7, x* 0.01", stephan, 10.335, at_x_star(0.01, 0.7, 0.0), 0.07);
  published("mean Nu_T, plates, Pr 0.7, x* 0.05", stephan, 8.144, at_x_star(0.05, 0.7, 0.0), 0.07);
}

TEST_CASE("round tubes") {
  const char* library = "known through a transcription";
  published("Hausen Re 1e5 Pr 1.1 L/D 10", library, 39.0135236, hausen(1e5, 1.1, 10.0), 1e-8);
  published("Baehr and Stephan Re 1e5 Pr 1.1 L/D 10", library, 72.6540205,
            baehr_stephan(1e5, 1.1, 10.0), 1e-8);
  published("Nu_T far down a tube, Hausen", "exact, Graetz", 3.6568, hausen(0.0, 6.0, 50.0), 2e-3);
  published("Nu_T far down a tube, Baehr and Stephan", "exact, Graetz", 3.6568,
            baehr_stephan(0.0, 6.0, 50.0), 2e-3);
  for (double reynolds : {0.0, 1e-12, 1.0}) {
    const Dual<1> at = Dual<1>::variable(reynolds, 0);
    CHECK(std::isfinite(hausen(at, Dual<1>(6.0), Dual<1>(50.0)).slope[0]));
    CHECK(std::isfinite(baehr_stephan(at, Dual<1>(6.0), Dual<1>(50.0)).slope[0]));
  }
}

TEST_CASE("Gnielinski") {
  published("Gnielinski Re 1e5 Pr 1.2 f 0.0185", "Gnielinski 1976, known through a transcription",
            254.6268, gnielinski(1e5, 1.2, 0.0185), 1e-6);
  const char* own = "Gnielinski 1976 with Petukhov's friction, own evaluation";
  published("Gnielinski Re 4000 Pr 6", own, 30.0385, gnielinski(4e3, 6.0, petukhov(4e3)), 1e-5);
  published("Gnielinski Re 1e4 Pr 6", own, 74.982, gnielinski(1e4, 6.0, petukhov(1e4)), 1e-5);
}

TEST_CASE("all regimes: laminar and turbulent keep their own values") {
  CHECK(nusselt_all_regimes(2000.0, 6.0, 0.2, 50.0) == nusselt_developing(2000.0, 6.0, 0.2, 50.0));
  CHECK(nusselt_all_regimes(1e4, 6.0, 0.2, 1e9) ==
        doctest::Approx(gnielinski(1e4, 6.0, petukhov(1e4))).epsilon(1e-5));
}

TEST_CASE("at zero flow Nu is the developed value, with finite slopes") {
  for (double a : {0.0, 0.05, 1.0}) {
    const Gradient still = nusselt_all_regimes(Gradient::variable(0.0, 0), Gradient::variable(6, 1),
                                               Gradient::variable(a, 2), Gradient::variable(50, 3));
    CHECK(still.value == doctest::Approx(nusselt_developed_t(a)).epsilon(1e-14));
    for (double slope : still.slope) CHECK(std::isfinite(slope));
  }
}

TEST_CASE("Nu rises with flow through all regimes") {
  for (double prandtl : {0.7, 4.0, 40.0})
    for (double a : {0.0, 0.1, 1.0})
      for (double length : {10.0, 100.0}) {
        CAPTURE(prandtl);
        CAPTURE(a);
        CAPTURE(length);
        double last = 0.0;
        for (double reynolds = 0.1; reynolds < 1e5; reynolds *= 1.02) {
          CAPTURE(reynolds);
          const double next = nusselt_all_regimes(reynolds, prandtl, a, length);
          CHECK(next >= last);
          last = next;
        }
      }
}

TEST_CASE("Nu slopes equal differences, also where the regimes meet") {
  for (double reynolds : {1.0, 150.0, 2300.0, 2310.0, 3100.0, 3999.0, 4000.0, 2e4}) {
    CAPTURE(reynolds);
    const std::array<double, 4> at = {reynolds, 6.0, 0.3, 40.0};
    const Gradient y =
        nusselt_all_regimes(Gradient::variable(at[0], 0), Gradient::variable(at[1], 1),
                            Gradient::variable(at[2], 2), Gradient::variable(at[3], 3));
    for (std::size_t i = 0; i < 4; ++i) {
      CAPTURE(i);
      std::array<double, 4> up = at;
      std::array<double, 4> down = at;
      const double h = 1e-5 * at[i];
      up[i] += h;
      down[i] -= h;
      const double difference = (nusselt_all_regimes(up[0], up[1], up[2], up[3]) -
                                 nusselt_all_regimes(down[0], down[1], down[2], down[3])) /
                                (2 * h);
      CHECK(std::abs(y.slope[i] - difference) < 1e-6 * y.value / at[i]);
    }
  }
}
