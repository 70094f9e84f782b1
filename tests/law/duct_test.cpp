#include "libloop/law/duct.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <string>

#include "libloop/law/friction.hpp"
#include "libloop/math/dual.hpp"
#include "support/published.hpp"

using namespace libloop;
using namespace libloop::law;
using libloop::testing::published;

TEST_CASE("developed friction") {
  const char* table = "Shah and London 1978 Table 42, from memory";
  published("duct f·Re aspect 1", table, 14.227, f_re_developed(1.0), 1e-4);
  published("duct f·Re aspect 1/2", table, 15.548, f_re_developed(0.5), 1e-4);
  published("duct f·Re aspect 1/4", table, 18.233, f_re_developed(0.25), 1e-4);
  published("duct f·Re aspect 1/8", table, 20.585, f_re_developed(0.125), 1e-4);
  published("duct f·Re parallel plates", "exact", 24.0, f_re_developed(0.0), 1e-14);
  const char* own = "own spectral solution of the momentum equation";
  published("duct f·Re aspect 1, spectral", own, 14.22708, f_re_developed(1.0), 1e-6);
  published("duct f·Re aspect 1/2, spectral", own, 15.54806, f_re_developed(0.5), 1e-6);
  published("duct f·Re aspect 1/4, spectral", own, 18.23278, f_re_developed(0.25), 1e-6);
  published("duct f·Re aspect 1/8, spectral", own, 20.58464, f_re_developed(0.125), 1e-6);
  const char* series = "Saint-Venant series, own evaluation";
  published("duct f·Re aspect 0.6", series, 14.97996, f_re_developed(0.6), 1e-6);
  published("duct f·Re aspect 0.4", series, 16.36810, f_re_developed(0.4), 1e-6);
  published("duct f·Re aspect 1/7", series, 20.19310, f_re_developed(1.0 / 7.0), 1e-6);
}

TEST_CASE("the series is the polynomial of the handbook, and knows no first side") {
  for (double a = 0.0; a <= 1.0; a += 0.05) {
    const double polynomial =
        24.0 * (1 - a * (1.3553 - a * (1.9467 - a * (1.7012 - a * (0.9564 - a * 0.2537)))));
    CHECK(f_re_developed(a) == doctest::Approx(polynomial).epsilon(1e-3));
    if (a > 0.3) CHECK(f_re_developed(a) == doctest::Approx(f_re_developed(1.0 / a)).epsilon(1e-7));
  }
}

TEST_CASE("developing friction") {
  const char* shah = "Shah 1978, constants from memory, own evaluation";
  const double x_plus[] = {0.001, 0.005, 0.01, 0.05, 0.1};
  const double plates[] = {111.573, 52.839, 39.400, 27.233, 25.642};
  const double square[] = {109.686, 51.592, 38.394, 20.754, 17.607};
  const double numeric[] = {110.19, 53.02, 40.23, 27.35, 25.67};
  for (int i = 0; i < 5; ++i) {
    const std::string at = fmt::format(" x+ {}", x_plus[i]);
    published("apparent f·Re, plates," + at, shah, plates[i], f_re_apparent(x_plus[i], 0.0), 1e-4);
    published("apparent f·Re, square," + at, shah, square[i], f_re_apparent(x_plus[i], 1.0), 1e-4);
    published("apparent f·Re, plates, marched," + at,
              "own boundary-layer marching between plates; Shah 1978 claims 2.4 %", numeric[i],
              f_re_apparent(x_plus[i], 0.0), 0.034);
  }
}

TEST_CASE("developing friction between the known columns") {
  // Muzychka and Yovanovich (2009), form from memory: another law for the same thing, 10 %.
  const double pi = 3.14159265358979323846;
  for (double a : {0.1, 0.2, 0.35, 0.5, 0.75, 1.0})
    for (double x_plus : {0.002, 0.01, 0.05, 0.2}) {
      CAPTURE(a);
      CAPTURE(x_plus);
      const double side = 2.0 * std::sqrt(a) / (1.0 + a);  // D_h over the root of the area
      const double developed = 12.0 / (std::sqrt(a) * (1 + a) *
                                       (1 - 192 * a / std::pow(pi, 5) * std::tanh(pi / (2 * a))));
      const double entrance = 3.44 / std::sqrt(x_plus * side * side);
      CHECK(f_re_apparent(x_plus, a) ==
            doctest::Approx(side * std::hypot(developed, entrance)).epsilon(0.10));
    }
}

TEST_CASE("limits of developing friction") {
  const double infinite = std::numeric_limits<double>::infinity();
  for (double a : {0.0, 0.005, 0.1, 1.0}) {
    CHECK(f_re_apparent(infinite, a) == f_re_developed(a));
    CHECK(duct_f_re(0.0, a, 50.0, 0.0) == f_re_developed(a));
    CHECK(f_re_apparent(1e-8, a) * std::sqrt(1e-8) == doctest::Approx(3.44).epsilon(0.001));
    const Gradient still = duct_f_re(Gradient::variable(0.0, 0), Gradient::variable(a, 1),
                                     Gradient::variable(50.0, 2), Gradient::variable(0.0, 3));
    for (double slope : still.slope) CHECK(std::isfinite(slope));
  }
}

TEST_CASE("pressure drop rises strictly with flow") {
  for (double a : {0.0, 0.05, 0.2, 0.5, 0.85, 1.0})
    for (double length : {0.5, 5.0, 50.0, 1000.0})
      for (double roughness : {0.0, 1e-3, 0.05}) {
        CAPTURE(a);
        CAPTURE(length);
        double last = 0.0;
        for (double reynolds = 1e-6; reynolds < 1e5; reynolds *= 1.03) {
          CAPTURE(reynolds);
          const double drop = duct_f_re(reynolds, a, length, roughness) * reynolds;
          CHECK(drop > last);
          last = drop;
        }
      }
}

TEST_CASE("duct slopes equal differences") {
  for (double a : {0.005, 0.02, 0.3, 0.9})
    for (double reynolds : {1.0, 100.0, 150.0, 1500.0, 2500.0, 2e4}) {
      CAPTURE(a);
      CAPTURE(reynolds);
      const Gradient y = duct_f_re(Gradient::variable(reynolds, 0), Gradient::variable(a, 1),
                                   Gradient::variable(40.0, 2), Gradient::variable(1e-3, 3));
      const double at[] = {reynolds, a, 40.0, 1e-3};
      for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(i);
        double up[] = {at[0], at[1], at[2], at[3]};
        double down[] = {at[0], at[1], at[2], at[3]};
        const double h = 1e-5 * at[i];
        up[i] += h;
        down[i] -= h;
        const double difference = (duct_f_re(up[0], up[1], up[2], up[3]) -
                                   duct_f_re(down[0], down[1], down[2], down[3])) /
                                  (2 * h);
        CHECK(std::abs(y.slope[i] - difference) < 1e-6 * y.value / at[i]);
      }
    }
}

TEST_CASE("far into turbulence a duct is a smooth tube on its hydraulic diameter") {
  CHECK(4.0 * duct_f_re(5e4, 0.2, 1e6, 1e-3) ==
        doctest::Approx(churchill_f_re(5e4, 1e-3)).epsilon(1e-3));
}
